//! Pickup and gates (T6, H3).

use super::*;
use crate::{Scope, Waiting};

pub(super) const H: i16 = 4000;

/// The student flies axis 0 at [`H`]. Then the switch is turned off with the instructor's stick at centre.
pub(super) fn waiting(policy: &CheckedPolicy<2>) -> Lesson<2> {
    let mut lesson = Lesson::flown(policy, [H, 0]);
    lesson.on = false;
    let outcome = lesson.step();
    assert_eq!((outcome.output, outcome.pickup), (frame([H, 0]), AxisSet::of(&[0])));
    assert_eq!(outcome.pickup_offset(0), Some(Deflection::from_bits(-H)));
    lesson
}

fn waits(outcome: &Outcome<2>) -> bool {
    let waits = outcome.pickup.contains(0);
    let shown = if waits { Some(Deflection::from_bits(H)) } else { outcome.stick.get(0) };
    assert_eq!(outcome.output.get(0), shown, "either h or the stick");
    waits
}

#[test]
fn a_wait_ends_where_the_stick_meets_or_passes_the_output_t6() {
    let policy = picked_up().check().unwrap();
    for end in [H, H + 1] {
        let mut lesson = waiting(&policy);
        assert!(waits(&lesson.move_to([H - 1, 0])));
        assert!(!waits(&lesson.move_to([end, 0])));
        assert!(!waits(&lesson.move_to([0, 0])), "it is over for good");
    }
    let mut lesson = Lesson::flown(&policy, [-H, 0]);
    lesson.on = false;
    assert_eq!(lesson.step().output, frame([-H, 0]));
    assert_eq!(lesson.move_to([1 - H, 0]).output, frame([-H, 0]), "still above");
    assert_eq!(lesson.move_to([-1 - H, 0]).output, frame([-1 - H, 0]), "below");

    let mut lesson = Lesson::flown(&policy, [H, 0]);
    let _ = lesson.move_to([300, 0]);
    lesson.student = Some([300, 0]);
    let _ = lesson.step();
    lesson.on = false;
    assert!(!waits(&lesson.step()), "where they are equal no wait begins");
}

/// Given an axis that itself takes over, when its stick moved towards the output, then it waits; otherwise it does not.
#[test]
fn a_stick_that_takes_over_waits_if_moved_towards_output_t6() {
    let policy = picked_up().check().unwrap();
    for (stick, waits_for_it) in [(329, true), (H - 1, true), (H, false), (H + 1, false), (-329, false)] {
        let mut lesson = Lesson::flown(&policy, [H, 0]);
        assert_eq!(waits(&lesson.move_to([stick, 0])), waits_for_it, "{stick}");
    }
    for (stick, pickup) in [(-329, AxisSet::of(&[0])), (1 - H, AxisSet::of(&[0])), (-1 - H, AxisSet::EMPTY)] {
        let mut lesson = Lesson::flown(&policy, [-H, 0]);
        assert_eq!(lesson.move_to([stick, 0]).pickup, pickup, "{stick}, below its rest");
    }
    let mut lesson = Lesson::flown(&policy, [H, 0]);
    assert!(waits(&lesson.move_to([-328, 400])), "taken by another axis, it is not held");
}

/// Given a wait, when the stick moves away from its nearest point by more than `engage`, then the wait ends.
#[test]
fn a_stick_that_moves_away_by_more_than_engage_ends_a_wait_t6() {
    let policy = picked_up().check().unwrap();
    let mut lesson = waiting(&policy);
    assert!(waits(&lesson.move_to([1000, 0])), "3000 off, the nearest so far");
    assert!(waits(&lesson.move_to([1000 - ENGAGE, 0])));
    assert!(waits(&lesson.move_to([1200, 0])), "2800 off");
    assert!(!waits(&lesson.move_to([1200 - ENGAGE - 1, 0])));
    let mut lesson = waiting(&policy);
    assert!(waits(&lesson.move_to([-ENGAGE, 0])));
    assert!(!waits(&lesson.move_to([-ENGAGE - 1, 0])), "the distance where it began counts");
}

/// Given `Pickup`, when a step is late, a signal is lost or instructor now is asked for, then a wait ends and none
/// begins.
#[test]
fn no_wait_over_a_late_step_a_loss_or_instructor_now_t6() {
    let policy = picked_up().check().unwrap();
    for begun in [true, false] {
        for disturb in [0, 1, 2] {
            let mut lesson = if begun { waiting(&policy) } else { Lesson::flown(&policy, [H, 0]) };
            lesson.button = disturb == 0;
            let dt = [10 * MS, 50 * MS + 1, 250 * MS + 1][disturb];
            assert!(!waits(&lesson.after(dt)), "{begun} {disturb}");
        }
    }
}

#[test]
fn a_wait_that_lasted_pickup_max_fades_to_the_stick_t6_h4() {
    let millis = Duration::from_millis;
    let policy = Policy { pickup_max: millis(100), fade: millis(40), ..picked_up() }.check().unwrap();
    let mut lesson = waiting(&policy);
    let _ = lesson.run(9);
    let last = lesson.after(10 * MS - 1);
    assert!(waits(&last));
    let over = lesson.after(1);
    assert_eq!((over.pickup, over.output), (AxisSet::EMPTY, frame([H, 0])), "the fade begins: W is 0");
    assert_eq!(lesson.step().output, frame([3000, 0]));
    assert_eq!(lesson.move_to([200, 0]).output, frame([2100, 0]), "half way to where the stick is now");
    assert_eq!(lesson.run(2).output, frame([200, 0]));
}

/// Given a wait, when the stick meets the output in the step in which the wait times out, then there is no fade.
#[test]
fn a_wait_met_in_the_step_of_its_timeout_does_not_fade_t6() {
    let millis = Duration::from_millis;
    let policy = Policy { pickup_max: millis(20), fade: millis(40), ..picked_up() }.check().unwrap();
    let mut lesson = waiting(&policy);
    let _ = lesson.step();
    assert_eq!(lesson.move_to([H + 50, 0]).output, frame([H + 50, 0]));
}

#[test]
fn an_axis_that_joins_the_set_stops_waiting_t6() {
    let policy = picked_up().check().unwrap();
    let mut lesson = waiting(&policy);
    let _ = lesson.run(3);
    lesson.on = true;
    let before = lesson.run(12);
    assert!(waits(&before));
    let joined = lesson.step();
    assert_eq!((joined.pilot, joined.pickup), (all::<2>(), AxisSet::EMPTY));
}

/// Given a closed gate, when the dwell is over, then it holds back the craft, or in scope `Axis` its own axis. A gate
/// takes nothing.
#[test]
fn a_closed_gate_holds_back_axes_and_takes_nothing_h3() {
    for (scope, joined) in [(Scope::Craft, AxisSet::EMPTY), (Scope::Axis, AxisSet::of(&[0]))] {
        let mut policy = Policy { scope, ..sprung() };
        policy.axes[1].window = Some(Deflection::from_bits(100));
        let policy = policy.check().unwrap();
        let mut lesson = Lesson::new(&policy);
        (lesson.instructor, lesson.student) = (Some([0, -50]), Some([0, 51]));
        let _ = lesson.run(10);
        lesson.on = true;
        let outcome = lesson.run(30);
        assert_eq!((outcome.pilot.student(), outcome.waiting), (joined, Some(Waiting::Gate(1))));
        lesson.student = Some([0, 50]);
        assert_eq!(lesson.step().pilot, all::<2>());
        lesson.student = Some([0, 9000]);
        assert_eq!(lesson.step().pilot, all::<2>(), "a gate takes nothing");
    }
}
