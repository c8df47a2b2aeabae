#include "policies.h"

// A printed policy is named POLICY, since a box has one.
#define POLICY RECORDED
#include "policies/recorded.h"
#undef POLICY
#define POLICY AXIS_BY_AXIS
#include "policies/axis-by-axis.h"
#undef POLICY
#define POLICY SLOW_AND_GATED
#include "policies/slow-and-gated.h"
#undef POLICY
#define POLICY LATCHING
#include "policies/latching.h"
#undef POLICY

const handback_policy *const POLICIES[POLICY_COUNT] = {&RECORDED, &AXIS_BY_AXIS, &SLOW_AND_GATED, &LATCHING};
