#include "lesson.h"

#include <stddef.h>

// From recorded.S.
extern const uint8_t recorded_begin[];
extern const uint8_t recorded_end[];

enum { INSTRUCTOR = 1, STUDENT = 2, SWITCH = 4, NOW = 8 };

// The change that marks that the value itself follows.
enum { ESCAPE = 0x80 };

lesson_place lesson_begin(void)
{
    return (lesson_place){.next = recorded_begin, .end = recorded_end};
}

// The next `count` bytes, or null where there are fewer.
static const uint8_t *take(lesson_place *place, ptrdiff_t count)
{
    if (place->end - place->next < count) {
        return NULL;
    }
    const uint8_t *taken = place->next;
    place->next += count;
    return taken;
}

// Updates the sticks of one side.
static bool change(lesson_place *place, int16_t sticks[LESSON_AXES])
{
    const uint8_t *changed = take(place, 1);
    if (changed == NULL) {
        return false;
    }
    for (int axis = 0; axis < LESSON_AXES; axis++) {
        if ((*changed >> axis & 1) == 0) {
            continue;
        }
        const uint8_t *by = take(place, 1);
        if (by == NULL) {
            return false;
        }
        if (*by != ESCAPE) {
            sticks[axis] = (int16_t)(sticks[axis] + (*by < 0x80 ? *by : *by - 0x100));
            continue;
        }
        const uint8_t *value = take(place, 2);
        if (value == NULL) {
            return false;
        }
        sticks[axis] = (int16_t)(uint16_t)(value[0] | value[1] << 8);
    }
    return true;
}

// A microsecond is a fifth of a point: 16384 / 500 units, rounded to nearest, halves away from zero.
static handback_deflection deflection(int16_t us)
{
    if (us <= -1000) {
        return INT16_MIN;
    }
    if (us >= 1000) {
        return INT16_MAX;
    }
    const int32_t product = INT32_C(4096) * us;
    return (handback_deflection)((product + (us < 0 ? -62 : 62)) / 125);
}

static void read_frame(const int16_t sticks[LESSON_AXES], handback_frame *frame)
{
    for (int axis = 0; axis < LESSON_AXES; axis++) {
        frame->axes[axis] = deflection(sticks[axis]);
    }
}

bool lesson_next(lesson_place *place, lesson_row *row)
{
    const uint8_t *flags = take(place, 1);
    if (flags == NULL) {
        return false;
    }
    row->has_instructor = (*flags & INSTRUCTOR) != 0;
    row->has_student = (*flags & STUDENT) != 0;
    row->lesson_switch = (*flags & SWITCH) != 0;
    row->instructor_now = (*flags & NOW) != 0;
    if (row->has_instructor && !change(place, place->instructor)) {
        return false;
    }
    if (row->has_student && !change(place, place->student)) {
        return false;
    }
    read_frame(place->instructor, &row->instructor);
    read_frame(place->student, &row->student);
    return true;
}
