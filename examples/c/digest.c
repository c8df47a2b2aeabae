#include "digest.h"

static uint32_t add_byte(uint32_t crc, uint8_t byte)
{
    crc ^= byte;
    for (int bit = 0; bit < 8; bit++) {
        crc = (crc & 1) != 0 ? (crc >> 1) ^ UINT32_C(0xEDB88320) : crc >> 1;
    }
    return crc;
}

static uint32_t add_half(uint32_t crc, uint16_t half)
{
    crc = add_byte(crc, (uint8_t)(half & 0xFF));
    return add_byte(crc, (uint8_t)(half >> 8));
}

static uint32_t add_word(uint32_t crc, uint32_t word)
{
    crc = add_half(crc, (uint16_t)(word & 0xFFFF));
    return add_half(crc, (uint16_t)(word >> 16));
}

static uint32_t add_frame(uint32_t crc, const handback_frame *frame, unsigned axis_count)
{
    for (unsigned axis = 0; axis < axis_count; axis++) {
        crc = add_half(crc, (uint16_t)frame->axes[axis]);
    }
    return crc;
}

static uint32_t add_pilot(uint32_t crc, handback_pilot pilot, handback_axis_set student)
{
    crc = add_byte(crc, pilot);
    return add_half(crc, student);
}

static uint32_t add_event(uint32_t crc, const handback_event *event)
{
    crc = add_word(crc, event->at);
    crc = add_pilot(crc, event->from, event->from_student);
    crc = add_pilot(crc, event->to, event->to_student);
    return add_byte(crc, (uint8_t)(event->cause << 4 | event->cause_axis));
}

uint32_t digest_outcome(uint32_t crc, const handback_outcome *outcome, unsigned axis_count)
{
    crc = add_word(crc, outcome->at);
    crc = add_frame(crc, &outcome->output, axis_count);
    crc = add_pilot(crc, outcome->pilot, outcome->student_axes);
    crc = add_byte(crc, outcome->has_event);
    if (outcome->has_event != 0) {
        crc = add_event(crc, &outcome->event);
    }
    crc = add_byte(crc, outcome->waiting);
    // An axis or a time: the other is 0.
    crc = add_word(crc, outcome->waiting_axis + outcome->waiting_left);
    crc = add_half(crc, outcome->held);
    crc = add_half(crc, outcome->pickup);
    for (unsigned axis = 0; axis < axis_count; axis++) {
        if ((outcome->pickup >> axis & 1) != 0) {
            crc = add_half(crc, (uint16_t)outcome->pickup_offset.axes[axis]);
        }
    }
    crc = add_frame(crc, &outcome->stick, axis_count);
    crc = add_byte(crc, outcome->instructor);
    crc = add_byte(crc, outcome->student);
    crc = add_byte(crc, outcome->instructor_lost);
    crc = add_byte(crc, outcome->link);
    return add_byte(crc, outcome->late_step);
}

uint32_t digest_end(uint32_t crc)
{
    return ~crc;
}
