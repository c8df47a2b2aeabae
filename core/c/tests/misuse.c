// What a C program can get wrong is refused by name: on the computer under sanitizers, and on the emulated processor,
// where a pointer that is not aligned would be a fault if it were followed.

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// The policy that the lesson tool's own test prints: every form that a value takes.
#define POLICY PRINTED
#include "policy_c/expected.h"
#undef POLICY

#include "handback.h"

static unsigned checks;

static void expect(handback_status said, handback_status status, int line)
{
    checks++;
    if (said != status) {
        printf("misuse.c, line %d: said \"%s\", not \"%s\"\n", line, handback_status_text(said),
               handback_status_text(status));
        exit(EXIT_FAILURE);
    }
}

#define EXPECT(call, status) expect((call), HANDBACK_STATUS_##status, __LINE__)
#define EXPECT_TRUE(condition) expect((condition) ? HANDBACK_STATUS_OK : UINT8_MAX, HANDBACK_STATUS_OK, __LINE__)

// The same place, a little further on.
static void *off(const void *place, size_t by)
{
    return (unsigned char *)(uintptr_t)place + by;
}

static handback_engine *engine;
static handback_outcome outcome;

static void starts(unsigned char *memory, size_t size)
{
    handback_policy policy = PRINTED;
    EXPECT(handback_start(NULL, size, &policy, &engine), NULL);
    EXPECT(handback_start(memory, size, NULL, &engine), NULL);
    EXPECT(handback_start(memory, size, &policy, NULL), NULL);
    EXPECT(handback_start(memory + 1, size - 1, &policy, &engine), MISALIGNED);
    EXPECT(handback_start(memory, size, off(&policy, 2), &engine), MISALIGNED);
    EXPECT(handback_start(memory, size, &policy, off(&engine, 1)), MISALIGNED);
    EXPECT(handback_start(memory, size - 1, &policy, &engine), MEMORY_TOO_SMALL);
    EXPECT(handback_start(memory, 1, &policy, &engine), MEMORY_TOO_SMALL);
    EXPECT(handback_start(memory, 0, &policy, &engine), MEMORY_TOO_SMALL);
    EXPECT_TRUE(engine == NULL);

    policy.size--;
    EXPECT(handback_start(memory, size, &policy, &engine), OTHER_HEADER);
    memset(&policy, 0, sizeof policy);
    EXPECT(handback_start(memory, size, &policy, &engine), OTHER_HEADER);
    policy = PRINTED;
    policy.axis_count = HANDBACK_MAX_AXES + 1;
    EXPECT(handback_start(memory, size, &policy, &engine), AXIS_COUNT);
    EXPECT_TRUE(handback_engine_size(0) == 0 && handback_engine_size(HANDBACK_MAX_AXES + 1) == 0);
}

static void unchecked_policy(unsigned char *memory, size_t size)
{
    char why[HANDBACK_TEXT_SIZE];
    handback_policy policy = PRINTED;
    policy.axes[1].confirm = 0;
    EXPECT(handback_start(memory, size, &policy, &engine), CONFIRM);
    EXPECT(handback_explain(&policy, why, sizeof why), CONFIRM);
    EXPECT_TRUE(strcmp(why, "axis 1: confirm is 0: it must be 1 or more") == 0);
    EXPECT_TRUE(engine == NULL);
    const handback_inputs inputs = {.now = 0};
    EXPECT(handback_step(engine, &inputs, &outcome), NULL);
    // The memory where it would have been.
    EXPECT(handback_step((handback_engine *)(void *)memory, &inputs, &outcome), NOT_STARTED);
}

static void steps(unsigned char *memory, size_t size)
{
    const handback_frame sticks = {.axes = {[2] = INT16_MIN}};
    const handback_inputs inputs = {.now = 0, .instructor = &sticks};
    EXPECT(handback_start(memory, size, &PRINTED, &engine), OK);
    EXPECT_TRUE(engine != NULL);
    EXPECT(handback_step(engine, NULL, &outcome), NULL);
    EXPECT(handback_step(engine, &inputs, NULL), NULL);
    EXPECT(handback_step(NULL, &inputs, &outcome), NULL);
    EXPECT(handback_step(off(engine, 1), &inputs, &outcome), MISALIGNED);
    EXPECT(handback_step(engine, off(&inputs, 1), &outcome), MISALIGNED);
    EXPECT(handback_step(engine, &inputs, off(&outcome, 1)), MISALIGNED);
    handback_inputs bad = inputs;
    bad.instructor = off(&sticks, 1);
    EXPECT(handback_step(engine, &bad, &outcome), MISALIGNED);
    bad = inputs;
    bad.student = off(&sticks, 1);
    EXPECT(handback_step(engine, &bad, &outcome), MISALIGNED);
    EXPECT(handback_step(engine, &inputs, &outcome), OK);
    EXPECT_TRUE(outcome.pilot == HANDBACK_PILOT_INSTRUCTOR);
    EXPECT_TRUE(outcome.instructor == HANDBACK_RECEPTION_GOOD);
}

int main(void)
{
    // Of just the size that is asked for, so that a byte too far is found.
    const size_t size = handback_engine_size(PRINTED.axis_count);
    unsigned char *memory = malloc(size);
    if (memory == NULL || size > HANDBACK_ENGINE_SIZE_4 || handback_engine_align() > HANDBACK_ENGINE_ALIGN) {
        puts("misuse.c: no memory");
        return EXIT_FAILURE;
    }
    memset(memory, 0, size);
    starts(memory, size);
    unchecked_policy(memory, size);
    steps(memory, size);
    free(memory);
    printf("%u checks passed\n", checks);
    return EXIT_SUCCESS;
}
