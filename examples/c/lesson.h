// The recorded lesson of examples/conformance: 29 s of a simulated lesson, packed as recorded.rs there says.

#ifndef LESSON_H
#define LESSON_H

#include <stdbool.h>
#include <stdint.h>

#include "handback.h"

#define LESSON_AXES 4
// Time between two rows.
#define LESSON_PACE_US UINT32_C(20000)

// One row: the inputs that a box received.
typedef struct lesson_row {
    handback_frame instructor;
    handback_frame student;
    bool has_instructor;
    bool has_student;
    bool lesson_switch;
    bool instructor_now;
} lesson_row;

// A place in the lesson, and the last sticks of both sides in microseconds of pulse width from 1500.
typedef struct lesson_place {
    const uint8_t *next;
    const uint8_t *end;
    int16_t instructor[LESSON_AXES];
    int16_t student[LESSON_AXES];
} lesson_place;

// The start of the lesson.
lesson_place lesson_begin(void);

// Unpacks the next row; false after the last row, and where a row is not complete.
bool lesson_next(lesson_place *place, lesson_row *row);

#endif
