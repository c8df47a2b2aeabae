/* The bare decision, written by hand: dead band, hysteresis, dwell, switch, copy. It has no lost signals, bad frames,
 * latches, gates, fades, pickups, moving rests, causes or waiting reasons. */
#include <stdbool.h>
#include <stdint.h>

struct rule {
    int16_t rest;
    int16_t engage;
    int16_t release;
};

struct decision {
    const struct rule *rules;
    uint32_t dwell;
    uint32_t last;
    uint32_t ready_for;
    uint16_t held;
    bool student_flies;
};

struct inputs {
    const int16_t *instructor;
    const int16_t *student;
    int16_t *output;
    bool lesson_switch;
};

#define JOIN(name, axes) name##axes
#define NAMED(name, axes) JOIN(name, axes)

void NAMED(decide_, AXES)(struct decision *d, uint32_t now, const struct inputs *in)
{
    uint32_t dt = now - d->last;
    d->last = now;

    uint32_t held = d->held;
    for (uint32_t axis = 0; axis < AXES; axis++) {
        const struct rule *rule = &d->rules[axis];
        int32_t off = in->instructor[axis] - rule->rest;
        if (off < 0)
            off = -off;
        if (off > rule->engage)
            held |= 1u << axis;
        else if (off <= rule->release)
            held &= ~(1u << axis);
    }

    if (held != 0 || !in->lesson_switch) {
        d->student_flies = false;
        d->ready_for = 0;
    } else if (!d->student_flies) {
        d->ready_for += dt;
        d->student_flies = d->ready_for >= d->dwell;
    }
    d->held = held;

    const int16_t *from = d->student_flies ? in->student : in->instructor;
    for (uint32_t axis = 0; axis < AXES; axis++)
        in->output[axis] = from[axis];
}
