// The policies under which the lesson is flown: those of the recorded flights of examples/conformance.

#ifndef POLICIES_H
#define POLICIES_H

#include "handback.h"

#define POLICY_COUNT 4

extern const handback_policy *const POLICIES[POLICY_COUNT];

#endif
