// A takeover policy, printed by `lesson policy --c`. Save it as a header of its own, such as policy.h, and include it
// in the file that starts the engine. To change it, change the policy file and print it again. handback_start checks it
// once more: look at its status. That it passes its check does not make it right for a craft.
// CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,
// propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's
// manual, the band's rules, local rules, club rules and your instructor's word come first.

#include "handback.h"

static const handback_policy POLICY = {
    .size = sizeof(handback_policy),
    .axis_count = 4,
    .scope = HANDBACK_SCOPE_CRAFT,
    .watched = 0x000f,
    .shared = 0x000f,
    .plausible = 24576, // 150 points
    .settle = 30000, // us
    .dwell = 300000, // us
    .fade = 200000, // us
    .pickup_max = 2000000, // us
    .timeout = 150000, // us
    .requalify = 1000000, // us
    .has_frozen_after = 0,
    .frozen_after = 0, // us
    .failsafe_after = 1000000, // us
    .late_step = 250000, // us
    .off_first_after_loss = 1,
    .has_lasted = 0,
    .has_beyond = 0,
    .lasted = 0, // us
    .beyond = 0, // 0 points
    .axes = {
        // 0: "aileron"
        {
            .engage = 328, // 2 points
            .release = 164, // 1 points
            .confirm = 1,
            .rest_kind = HANDBACK_REST_AT,
            .rest = 279, // 1.7 points
            .still = 0, // us
            .transfer = HANDBACK_TRANSFER_SNAP,
            .keep = 0,
            .has_window = 0,
            .window = 0, // 0 points
            .failsafe = 0, // 0 points
        },
        // 1: "elevator"
        {
            .engage = 328, // 2 points
            .release = 164, // 1 points
            .confirm = 1,
            .rest_kind = HANDBACK_REST_AT,
            .rest = 74, // 0.45 points
            .still = 0, // us
            .transfer = HANDBACK_TRANSFER_SNAP,
            .keep = 0,
            .has_window = 0,
            .window = 0, // 0 points
            .failsafe = 0, // 0 points
        },
        // 2: "throttle"
        {
            .engage = 1311, // 8 points
            .release = 655, // 4 points
            .confirm = 1,
            .rest_kind = HANDBACK_REST_WHERE_LEFT,
            .rest = 0, // 0 points
            .still = 500000, // us
            .transfer = HANDBACK_TRANSFER_PICKUP,
            .keep = 1,
            .has_window = 0,
            .window = 0, // 0 points
            .failsafe = -16384, // -100 points
        },
        // 3: "rudder"
        {
            .engage = 328, // 2 points
            .release = 164, // 1 points
            .confirm = 1,
            .rest_kind = HANDBACK_REST_AT,
            .rest = -192, // -1.17 points
            .still = 0, // us
            .transfer = HANDBACK_TRANSFER_SNAP,
            .keep = 0,
            .has_window = 0,
            .window = 0, // 0 points
            .failsafe = 0, // 0 points
        },
    },
};
