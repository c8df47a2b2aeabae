// The handback engine for C and C++: who flies, the instructor or the student.
//
// Written by cbindgen from core/c/src: see DEVELOPERS.md. Rules in brackets (T2) are those of core/CONTRACT.md.
//
// CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,
// propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's
// manual, the band's rules, local rules, club rules and your instructor's word come first.

#ifndef HANDBACK_H
#define HANDBACK_H

#include <stddef.h>
#include <stdint.h>

// Warns if a status is ignored, where the compiler supports it.
#if defined(__GNUC__)
#define HANDBACK_MUST_USE __attribute__((warn_unused_result))
#else
#define HANDBACK_MUST_USE
#endif

// The largest number of axes of a frame.
#define HANDBACK_MAX_AXES 16

// Bytes of memory that are enough for an engine of up to 4 axes, on every target.
#define HANDBACK_ENGINE_SIZE_4 512

// Bytes of memory that are enough for an engine of up to 8 axes, on every target.
#define HANDBACK_ENGINE_SIZE_8 768

// Bytes of memory that are enough for an engine of up to 16 axes, on every target.
#define HANDBACK_ENGINE_SIZE_16 1280

// The alignment of an engine's memory that is enough on every target; `handback_engine_align()` may give less.
#define HANDBACK_ENGINE_ALIGN 8

// Bytes that are enough for every text of this library, with its 0 byte.
#define HANDBACK_TEXT_SIZE 176

// The result of a call. After any status other than `HANDBACK_STATUS_OK`, nothing was done.
enum handback_status
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // The call succeeded.
    HANDBACK_STATUS_OK,
    // A pointer is null that must not be null.
    HANDBACK_STATUS_NULL,
    // A pointer is not aligned to the type that it points to.
    HANDBACK_STATUS_MISALIGNED,
    // The memory is smaller than the engine.
    HANDBACK_STATUS_MEMORY_TOO_SMALL,
    // There is no room for any text.
    HANDBACK_STATUS_TEXT_TOO_SMALL,
    // `size` of the policy is not this library's `sizeof(handback_policy)`: not set, or header and library differ.
    HANDBACK_STATUS_OTHER_HEADER,
    // `axis_count` is 0, above 16, or above what this library was built for.
    HANDBACK_STATUS_AXIS_COUNT,
    // `scope` is none of `handback_scope`.
    HANDBACK_STATUS_UNKNOWN_SCOPE,
    // `rest_kind` of an axis is none of `handback_rest`.
    HANDBACK_STATUS_UNKNOWN_REST,
    // `transfer` of an axis is none of `handback_transfer`.
    HANDBACK_STATUS_UNKNOWN_TRANSFER,
    // There is no engine in this memory: it was not started, or its start was refused.
    HANDBACK_STATUS_NOT_STARTED,
    // The engine was copied or moved to other memory than it was started in.
    HANDBACK_STATUS_MOVED,
    // P1: `engage` of an axis is not above 0, or its stick cannot get beyond it.
    HANDBACK_STATUS_ENGAGE,
    // P1: `release` of an axis is below 0, or not below `engage`.
    HANDBACK_STATUS_RELEASE,
    // P1: `confirm` of an axis is 0.
    HANDBACK_STATUS_CONFIRM,
    // P1: the fixed rest of an axis is beyond `plausible`.
    HANDBACK_STATUS_REST,
    // P1: the match window of an axis is below 0.
    HANDBACK_STATUS_WINDOW,
    // P1: the failsafe of an axis is beyond `plausible`.
    HANDBACK_STATUS_FAILSAFE,
    // P1: `plausible` is below full nominal travel.
    HANDBACK_STATUS_PLAUSIBLE,
    // P1: no axis is watched, so nothing could take over.
    HANDBACK_STATUS_NOTHING_WATCHED,
    // P1: `watched` names an axis past the last.
    HANDBACK_STATUS_WATCHED_PAST_LAST,
    // P1: `shared` names an axis past the last.
    HANDBACK_STATUS_SHARED_PAST_LAST,
    // P1: in scope axis, a shared axis is not watched, so nothing could take it over.
    HANDBACK_STATUS_SHARED_UNWATCHED,
    // P1: the latch `beyond` is below 0, or not below `plausible`.
    HANDBACK_STATUS_BEYOND,
    // P1: a duration is longer than half the range of the clock, 2^31 us.
    HANDBACK_STATUS_TOO_LONG,
    // P1: `settle`, `timeout` or `late_step` is 0.
    HANDBACK_STATUS_ZERO,
    // P1: `failsafe_after` is shorter than `timeout`.
    HANDBACK_STATUS_FAILSAFE_BEFORE_TIMEOUT,
    // P1: a rule without a status of its own; the text says which.
    HANDBACK_STATUS_OTHER_RULE,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_status handback_status;
#else
typedef uint8_t handback_status;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// Who flies.
enum handback_pilot
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // Nobody: the instructor's signal is gone and the output is the failsafe frame (I2).
    HANDBACK_PILOT_NOBODY,
    // The instructor flies every axis.
    HANDBACK_PILOT_INSTRUCTOR,
    // The student flies some axes, and the instructor the rest.
    HANDBACK_PILOT_STUDENT,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_pilot handback_pilot;
#else
typedef uint8_t handback_pilot;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// Why the pilot changed; where several causes apply, the first in this order (A1).
enum handback_cause
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // The step came too late after the one before (K1).
    HANDBACK_CAUSE_LATE_STEP,
    // The instructor's signal was lost (I1, I2).
    HANDBACK_CAUSE_INSTRUCTOR_LOST,
    // The instructor's signal came back (I1).
    HANDBACK_CAUSE_INSTRUCTOR_BACK,
    // *Instructor now* was asked for (T7).
    HANDBACK_CAUSE_INSTRUCTOR_NOW,
    // A bad frame from the instructor (T4).
    HANDBACK_CAUSE_BAD_FRAME,
    // The lesson switch was turned off (S3).
    HANDBACK_CAUSE_SWITCH_OFF,
    // The student link was lost (L3).
    HANDBACK_CAUSE_LINK_LOST,
    // Frames still came from the student, but the shared axes had not changed for `frozen_after` (L4).
    HANDBACK_CAUSE_LINK_FROZEN,
    // A stick (T2): `cause_axis` is the lowest axis that became held in this step.
    HANDBACK_CAUSE_STICK,
    // A takeover latched, and took what the student still had (H2).
    HANDBACK_CAUSE_LATCH,
    // The instructor let go, and the conditions of H1 held for the dwell.
    HANDBACK_CAUSE_HANDED_BACK,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_cause handback_cause;
#else
typedef uint8_t handback_cause;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// The first thing that the student's axes are waiting for (A2).
enum handback_waiting
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // Nothing: the student has every shared axis.
    HANDBACK_WAITING_NOTHING,
    // A good frame from the instructor (I1).
    HANDBACK_WAITING_INSTRUCTOR_SIGNAL,
    // The lesson switch to be turned on.
    HANDBACK_WAITING_SWITCH,
    // The lesson switch to be turned off for long enough, then on (S2).
    HANDBACK_WAITING_SWITCH_OFF_FIRST,
    // The lesson switch to settle in its on position, for another `waiting_left` (S3).
    HANDBACK_WAITING_SETTLING,
    // The lesson switch to be turned off, which clears the latch (H2).
    HANDBACK_WAITING_LATCH,
    // The student link, for another `waiting_left`; all of `requalify` while the link is lost (L2).
    HANDBACK_WAITING_STUDENT_LINK,
    // `waiting_axis`, the lowest held axis, to be let go (T3).
    HANDBACK_WAITING_HELD,
    // The dwell, for another `waiting_left`; 0 where only a good frame from the instructor is missing (H1).
    HANDBACK_WAITING_DWELL,
    // The two sticks of `waiting_axis` to come close enough; the lowest axis with a closed gate (H3).
    HANDBACK_WAITING_GATE,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_waiting handback_waiting;
#else
typedef uint8_t handback_waiting;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// What came from one side in a step.
enum handback_reception
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // No frame: normal where steps come faster than frames.
    HANDBACK_RECEPTION_NOTHING,
    // A good frame.
    HANDBACK_RECEPTION_GOOD,
    // A frame in which an axis that matters is beyond `plausible`; it counts as no frame.
    HANDBACK_RECEPTION_BAD,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_reception handback_reception;
#else
typedef uint8_t handback_reception;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// The state of the student link (L).
enum handback_link
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // No good frame for longer than `timeout`, or none yet.
    HANDBACK_LINK_LOST,
    // Frames come again, but not yet for `requalify`.
    HANDBACK_LINK_QUALIFYING,
    // Good.
    HANDBACK_LINK_GOOD,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_link handback_link;
#else
typedef uint8_t handback_link;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// How much one held axis takes from the student (T5).
enum handback_scope
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // Every axis.
    HANDBACK_SCOPE_CRAFT,
    // Its own axis; every axis if its own axis is not shared.
    HANDBACK_SCOPE_AXIS,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_scope handback_scope;
#else
typedef uint8_t handback_scope;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// Where the stick of an axis rests when nobody touches it (R).
enum handback_rest
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // At a fixed place, `rest` (R1).
    HANDBACK_REST_AT,
    // Wherever it was left, once it has stayed within `release` of one position for `still` (R2).
    HANDBACK_REST_WHERE_LEFT,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_rest handback_rest;
#else
typedef uint8_t handback_rest;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// What an axis outputs when it leaves the student's set (T6).
enum handback_transfer
#if defined(__cplusplus) || __STDC_VERSION__ >= 202311L
  : uint8_t
#endif // defined(__cplusplus) || __STDC_VERSION__ >= 202311L
 {
    // The instructor's stick at once.
    HANDBACK_TRANSFER_SNAP,
    // The last output, until the instructor's stick meets it, passes it or moves away from it, for at most
    // `pickup_max`.
    HANDBACK_TRANSFER_PICKUP,
};
#ifndef __cplusplus
#if __STDC_VERSION__ >= 202311L
typedef enum handback_transfer handback_transfer;
#else
typedef uint8_t handback_transfer;
#endif // __STDC_VERSION__ >= 202311L
#endif // __cplusplus

// An engine in the caller's memory.
typedef struct handback_engine handback_engine;

// A set of axes: bit a says whether axis a is in it.
typedef uint16_t handback_axis_set;

// Distance of a stick from its centre, in units of 2^-14 of full nominal travel: 16384 is 100 points. 2 points are
// 328, which is 10 us of a 1000..2000 us pulse.
typedef int16_t handback_deflection;

// A length of time, or a moment on a free-running clock that wraps, in microseconds.
typedef uint32_t handback_micros;

// The rule of one axis.
typedef struct handback_axis_rule {
    // The axis becomes held when its stick is further than this from its rest (T1); above 0 and within reach.
    handback_deflection engage;
    // The axis stays held until its stick is within this of its rest (T3); from 0 to below `engage`.
    handback_deflection release;
    // Number of good frames in a row that must be beyond `engage` (T1); 1 or more. Each frame above 1 adds a frame of
    // latency.
    uint8_t confirm;
    // One of `handback_rest`.
    uint8_t rest_kind;
    // Where the untouched stick is, for `HANDBACK_REST_AT`.
    handback_deflection rest;
    // How long the stick must stay, for `HANDBACK_REST_WHERE_LEFT`. 500 ms is common practice, no source.
    handback_micros still;
    // One of `handback_transfer`.
    uint8_t transfer;
    // Whether a takeover that this axis begins or joins keeps the craft until the switch has been off (H2): 0 is no.
    uint8_t keep;
    // Whether there is a match window (H3): 0 is no.
    uint8_t has_window;
    // The axis may go to the student only while the two sticks are no further apart than this; 0 or more.
    handback_deflection window;
    // What the axis outputs when nobody flies (I2). A wrong value can hurt people: for a throttle it is seldom 0.
    handback_deflection failsafe;
} handback_axis_rule;

// Everything the user decides. `lesson policy --c` prints one; `handback_start` checks it (P1) and copies it.
typedef struct handback_policy {
    // `sizeof(handback_policy)`. It shows that header and library belong together.
    uint16_t size;
    // The number of axes, 1 to 16.
    uint8_t axis_count;
    // One of `handback_scope`.
    uint8_t scope;
    // The axes whose sticks can take the craft; at least one.
    handback_axis_set watched;
    // The axes that the student may fly.
    handback_axis_set shared;
    // A frame with an axis further from centre than this is bad; 16384 or more. Usual: 24576, 150 points.
    handback_deflection plausible;
    // How long the lesson switch must be seen in a new position, unbroken (S2, S3); not 0. Usual: 30 ms.
    handback_micros settle;
    // How long the conditions of H1 must hold before the student gets an axis (H1). Usual: 300 ms.
    handback_micros dwell;
    // How long an axis takes from its last output to the stick of its new pilot (H4); 0 is at once. Usual: 200 ms.
    handback_micros fade;
    // The longest a pickup waits before it fades to the instructor's stick (T6). Usual: 2 s.
    handback_micros pickup_max;
    // A signal is lost when its last good frame is older than this (L1, I1); not 0. Usual: 150 ms.
    handback_micros timeout;
    // How long the frames of a student link that was lost must come again before it is good (L2). Usual: 1 s.
    handback_micros requalify;
    // Whether a student link whose shared axes do not change is lost (L4): 0 is no. Usual: 0, since many transmitters
    // send identical frames while their sticks rest.
    uint8_t has_frozen_after;
    // It is lost when no shared axis has changed for longer than this; not 0.
    handback_micros frozen_after;
    // Nobody flies when the instructor's last good frame is older than this (I2); `timeout` or more. Usual: 1 s.
    handback_micros failsafe_after;
    // A step that comes later than this after the one before is a late step (K1); not 0. Usual: 250 ms.
    handback_micros late_step;
    // Whether the switch must be seen off first again after the student link was lost (S2, L3): 0 is no. Usual: 1.
    uint8_t off_first_after_loss;
    // Whether a takeover latches once it has been on for `lasted` (H2): 0 is no.
    uint8_t has_lasted;
    // Whether a takeover latches once a watched stick is further than `beyond` from its rest (H2): 0 is no.
    uint8_t has_beyond;
    // How long a takeover must be on to latch.
    handback_micros lasted;
    // How far the stick must be from its rest; from 0 to below `plausible`.
    handback_deflection beyond;
    // The rules of the axes, axis 0 first. Entries past the last axis are ignored.
    struct handback_axis_rule axes[HANDBACK_MAX_AXES];
} handback_policy;

// The sticks at one moment, axis 0 first. Entries past the policy's last axis are ignored.
typedef struct handback_frame {
    // The axes.
    handback_deflection axes[HANDBACK_MAX_AXES];
} handback_frame;

// The inputs of one step. Zeroed, they are a step without a frame, with the lesson switch off.
typedef struct handback_inputs {
    // The instant of the step. Only its difference from the step before counts. A difference above `late_step` is a
    // late step (K1).
    handback_micros now;
    // The instructor's frame, if one came since the step before; else null.
    const struct handback_frame *instructor;
    // The student's frame, if one came since the step before; else null.
    const struct handback_frame *student;
    // Whether the lesson switch is seen on: 0 is off, anything else on.
    uint8_t lesson_switch;
    // Whether the instructor asks for the craft with a button (T7): 0 is no, anything else yes.
    uint8_t instructor_now;
} handback_inputs;

// A change of who flies what (A1).
typedef struct handback_event {
    // The instant of the step that made the change.
    handback_micros at;
    // The axes that the student flew before.
    handback_axis_set from_student;
    // The axes that the student flies now.
    handback_axis_set to_student;
    // Who flew before.
    handback_pilot from;
    // Who flies now.
    handback_pilot to;
    // Why.
    handback_cause cause;
    // The axis, for `HANDBACK_CAUSE_STICK`; else 0.
    uint8_t cause_axis;
} handback_event;

// The result of one step.
typedef struct handback_outcome {
    // The instant that the step was given.
    handback_micros at;
    // What goes to the craft.
    struct handback_frame output;
    // The instructor's sticks that this step used: the last good frame; before the first one, the failsafe frame.
    struct handback_frame stick;
    // Distance of the instructor's stick from the output of an axis in `pickup`, above 0 where the stick must come
    // down; 0 for all other axes. It saturates.
    struct handback_frame pickup_offset;
    // What changed, if `has_event`; else zeroed.
    struct handback_event event;
    // The remaining time, where `waiting` has one; else 0.
    handback_micros waiting_left;
    // The axes that the student flies.
    handback_axis_set student_axes;
    // The watched axes whose stick the instructor is holding (T1).
    handback_axis_set held;
    // The axes that keep their last output until the instructor's stick picks them up (T6).
    handback_axis_set pickup;
    // Who flies.
    handback_pilot pilot;
    // 1 where who flies what changed in this step (A1), else 0.
    uint8_t has_event;
    // While the student has less than the shared axes, the first thing waited for (A2).
    handback_waiting waiting;
    // The axis, where `waiting` has one; else 0.
    uint8_t waiting_axis;
    // What came from the instructor.
    handback_reception instructor;
    // What came from the student.
    handback_reception student;
    // 1 where the instructor's signal is lost at the end of this step (I1), else 0.
    uint8_t instructor_lost;
    // The state of the student link at the end of this step (L).
    handback_link link;
    // 1 where this step came too late after the one before (K1), else 0.
    uint8_t late_step;
} handback_outcome;

#ifdef __cplusplus
extern "C" {
#endif // __cplusplus

// Size of the memory of an engine for this number of axes, in bytes; 0 where this library has none.
size_t handback_engine_size(uint8_t axis_count);

// The required alignment of an engine's memory, in bytes.
size_t handback_engine_align(void);

// Checks a policy (P1), copies it into `memory` of `size` bytes, and starts an engine there, at the start of a lesson
// (S1). `*engine` then points to that engine. The engine needs no clean-up, and the policy is not read again.
//
// After any status other than `HANDBACK_STATUS_OK`, `*engine` is null. An engine that was in `memory` before has then
// ended, too.
//
// # Safety
// Each pointer is null or points to what its type says, `memory` to `size` bytes. As long as the engine is used,
// nothing else writes to that memory, and the memory is not moved.
HANDBACK_MUST_USE
handback_status handback_start(void *memory,
                               size_t size,
                               const struct handback_policy *policy,
                               struct handback_engine **engine);

// One step of the lesson: call it for every frame, or more often.
//
// After any status other than `HANDBACK_STATUS_OK`, no step was made and `*outcome` is unchanged: then stop the pulse
// train, so that the receiver's own failsafe acts.
//
// # Safety
// Each pointer is null or points to what its type says. No other call uses this engine at the same time, not even from
// an interrupt.
HANDBACK_MUST_USE
handback_status handback_step(struct handback_engine *engine,
                              const struct handback_inputs *inputs,
                              struct handback_outcome *outcome);

// Checks a policy as `handback_start` does, and says in words what is wrong with it: axis, field, value and what to
// do. The text ends with a 0 byte and is cut where `size` ends; `HANDBACK_TEXT_SIZE` is enough. The text is empty
// where nothing is wrong.
//
// # Safety
// Each pointer is null or points to what its type says, `text` to `size` bytes.
handback_status handback_explain(const struct handback_policy *policy, char *text, size_t size);

// The meaning of a status in words, which end with a 0 byte and stay where they are.
const char *handback_status_text(uint8_t status);

#ifdef __cplusplus
}  // extern "C"
#endif  // __cplusplus

#endif  /* HANDBACK_H */
