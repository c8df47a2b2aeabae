// A takeover policy, printed by `lesson policy --c`. Save it as a header of its own, such as policy.h, and include it
// in the file that starts the engine. To change it, change the policy file and print it again. handback_start checks it
// once more: look at its status. That it passes its check does not make it right for a craft.
// CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,
// propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's
// manual, the band's rules, local rules, club rules and your instructor's word come first.

#include "handback.h"

static const handback_policy POLICY = {
    .size = sizeof(handback_policy),
    .axis_count = 2,
    .scope = HANDBACK_SCOPE_AXIS,
    .watched = 0x0003,
    .shared = 0x0001,
    .plausible = 20562, // 125.5 points
    .settle = 1, // us
    .dwell = 250000, // us
    .fade = 500, // us
    .pickup_max = 2000000, // us
    .timeout = 16667, // us
    .requalify = 1000000, // us
    .has_frozen_after = 0,
    .frozen_after = 0, // us
    .failsafe_after = 1000000, // us
    .late_step = 250000, // us
    .off_first_after_loss = 0,
    .has_lasted = 1,
    .has_beyond = 1,
    .lasted = 2000000, // us
    .beyond = 6554, // 40 points
    .axes = {
        // 0: "cyclic roll"
        {
            .engage = 492, // 3 points
            .release = 246, // 1.5 points
            .confirm = 2,
            .rest_kind = HANDBACK_REST_AT,
            .rest = -246, // -1.5 points
            .still = 0, // us
            .transfer = HANDBACK_TRANSFER_SNAP,
            .keep = 0,
            .has_window = 1,
            .window = 3, // 0.02 points
            .failsafe = 1967, // 12.006 points
        },
        // 1: "collective"
        {
            .engage = 1311, // 8 points
            .release = 655, // 4 points
            .confirm = 1,
            .rest_kind = HANDBACK_REST_WHERE_LEFT,
            .rest = 0, // 0 points
            .still = 400000, // us
            .transfer = HANDBACK_TRANSFER_PICKUP,
            .keep = 1,
            .has_window = 0,
            .window = 0, // 0 points
            .failsafe = -3277, // -20 points
        },
    },
};
