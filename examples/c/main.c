// Flies a recorded lesson through the engine, under four policies in turn, as a trainer box does with live frames.
// Prints a digest of all outcomes, which must be that of the same flights in Rust.

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

#include "digest.h"
#include "handback.h"
#include "lesson.h"
#include "policies.h"

// The engine is in memory that the program provides; it allocates nothing. The recorded lesson has 4 axes.
static _Alignas(HANDBACK_ENGINE_ALIGN) unsigned char memory[HANDBACK_ENGINE_SIZE_4];

static void stop(const char *what, handback_status status)
{
    fprintf(stderr, "%s: %s\n", what, handback_status_text(status));
    exit(EXIT_FAILURE);
}

// Starts an engine at the start of a lesson. Where a policy fails its check, the message names axis, field, value and
// what to do.
static handback_engine *start(const handback_policy *policy)
{
    handback_engine *engine;
    handback_status status = handback_start(memory, sizeof memory, policy, &engine);
    if (status != HANDBACK_STATUS_OK) {
        char why[HANDBACK_TEXT_SIZE];
        handback_explain(policy, why, sizeof why);
        fprintf(stderr, "policy: %s\n", why);
        stop("the engine did not start", status);
    }
    return engine;
}

static uint32_t fly(const handback_policy *policy)
{
    handback_engine *engine = start(policy);
    lesson_place place = lesson_begin();
    lesson_row row;
    uint32_t crc = DIGEST_BEGIN;
    for (uint32_t now = 0; lesson_next(&place, &row); now += LESSON_PACE_US) {
        const handback_inputs inputs = {
            .now = now,
            .instructor = row.has_instructor ? &row.instructor : NULL,
            .student = row.has_student ? &row.student : NULL,
            .lesson_switch = row.lesson_switch,
            .instructor_now = row.instructor_now,
        };
        handback_outcome outcome;
        handback_status status = handback_step(engine, &inputs, &outcome);
        if (status != HANDBACK_STATUS_OK) {
            stop("a step was refused", status);
        }
        // Here a box sends outcome.output to the craft, and announces outcome.event and outcome.waiting.
        crc = digest_outcome(crc, &outcome, policy->axis_count);
    }
    return digest_end(crc);
}

int main(void)
{
    for (unsigned flight = 0; flight < POLICY_COUNT; flight++) {
        printf("flight %u digest 0x%08" PRIx32 "\n", flight + 1, fly(POLICIES[flight]));
    }
    return EXIT_SUCCESS;
}
