//! Start, lesson switch, the dwell (S, H1).

use super::*;
use crate::{Cause, Event, Link, Rest, Waiting};

/// Given a new engine, when no good frame has come, then nobody flies. The first good frame is output as it stands.
#[test]
fn nobody_flies_until_the_first_good_frame_is_output_s1() {
    let mut policy = sprung();
    policy.axes[0].failsafe = Deflection::from_bits(-5000);
    let policy = policy.check().unwrap();
    let mut lesson = Lesson::new(&policy);
    lesson.instructor = None;
    let before = lesson.run(2);
    assert_eq!((before.pilot, before.event), (Pilot::Nobody, None));
    assert_eq!((before.output, before.stick), (frame([-5000, 0]), frame([-5000, 0])));

    let first = lesson.move_to([3000, -20000]);
    assert_eq!((first.pilot, first.event), (Pilot::Instructor, None));
    assert_eq!(first.output, frame([3000, -20000]));
    assert_eq!(first.held, AxisSet::of(&[0, 1]), "a fixed rest is free at the start, so it can become held at once");
}

#[test]
fn a_box_powered_up_with_the_switch_on_hands_nothing_over_s2() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    lesson.on = true;
    let outcome = lesson.run(100);
    assert_eq!((outcome.pilot, outcome.waiting), (Pilot::Instructor, Some(Waiting::SwitchOffFirst)));
    lesson.on = false;
    assert_eq!(lesson.step().waiting, Some(Waiting::Switch), "the pin reads off once");
    lesson.on = true;
    assert_eq!(lesson.run(100).waiting, Some(Waiting::SwitchOffFirst));
}

#[test]
fn off_counts_at_exactly_settle_s2_s3() {
    let policy = sprung().check().unwrap();
    for (off_for, arms) in [(20 * MS - 1, false), (20 * MS, true)] {
        let mut lesson = Lesson::new(&policy);
        lesson.on = true;
        let _ = lesson.run(20);
        lesson.on = false;
        let _ = lesson.step();
        let _ = lesson.after(off_for);
        lesson.on = true;
        assert_eq!(lesson.step().waiting != Some(Waiting::SwitchOffFirst), arms, "off for {off_for} us");
    }
}

#[test]
fn on_takes_effect_at_exactly_settle_s3() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    let _ = lesson.run(20);
    lesson.on = true;
    let settling = |us| Some(Waiting::Settling { left: Duration::from_ticks(us) });
    assert_eq!(lesson.step().waiting, settling(20_000));
    assert_eq!(lesson.after(20 * MS - 1).waiting, settling(1));
    assert_eq!(lesson.after(1).waiting, Some(Waiting::Dwell { left: Duration::from_millis(100) }));
}

#[test]
fn off_takes_the_craft_in_the_same_step_s3() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::flown(&policy, [700, 800]);
    assert_eq!(lesson.step().output, frame([700, 800]));
    lesson.on = false;
    let outcome = lesson.step();
    assert_eq!((outcome.pilot, outcome.output), (Pilot::Instructor, frame([0, 0])));
    assert_eq!(outcome.event.map(|event| event.cause), Some(Cause::SwitchOff));
}

#[test]
fn the_student_gets_the_craft_when_the_dwell_is_exactly_over_h1() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    let _ = lesson.run(10); // link good after 70 ms, switch seen off first after 20 ms
    lesson.on = true;
    let _ = lesson.step();
    let dwell = |us| Some(Waiting::Dwell { left: Duration::from_ticks(us) });
    assert_eq!(lesson.after(20 * MS).waiting, dwell(100_000), "settled: the timer is 0 in this step");
    for _ in 0..3 {
        let _ = lesson.after(30 * MS);
    }
    assert_eq!(lesson.after(10 * MS - 1).waiting, dwell(1));
    let outcome = lesson.after(1);
    let handed = Event { at: outcome.at, from: Pilot::Instructor, to: all::<2>(), cause: Cause::HandedBack };
    assert_eq!((outcome.event, outcome.waiting), (Some(handed), None));
}

#[test]
fn a_step_without_a_good_frame_hands_nothing_over_h1() {
    let policy = sprung().check().unwrap();
    let mut lesson = Lesson::new(&policy);
    let _ = lesson.run(10);
    lesson.on = true;
    let _ = lesson.run(10); // settled in the third, 70 ms of dwell
    let _ = lesson.after(29 * MS);
    lesson.instructor = None;
    let outcome = lesson.after(2 * MS);
    assert_eq!(outcome.pilot, Pilot::Instructor);
    assert_eq!(outcome.waiting, Some(Waiting::Dwell { left: Duration::from_ticks(0) }));
    assert_eq!(lesson.move_to([0, 0]).pilot, all::<2>());
}

#[test]
fn a_bad_frame_breaks_the_dwell_and_a_changed_hold_does_h1() {
    let policy = sprung().check().unwrap();
    for disturbance in [[32767, 0], [ENGAGE + 1, 0]] {
        let mut lesson = Lesson::new(&policy);
        let _ = lesson.run(10);
        lesson.on = true;
        let _ = lesson.run(11); // 80 ms of dwell
        let _ = lesson.move_to(disturbance);
        let _ = lesson.move_to([0, 0]); // either the first step in order, or the one in which the axis becomes free
        let begins_one_later = u32::from(disturbance == [ENGAGE + 1, 0]);
        assert_eq!(lesson.run(9 + begins_one_later).pilot, Pilot::Instructor);
        assert_eq!(lesson.step().pilot, all::<2>());
    }
}

#[test]
fn with_the_least_settle_two_readings_count_s2_s3_l2_h1() {
    let now = Duration::from_ticks(0);
    let settle = Duration::from_ticks(1);
    let policy = Policy { settle, dwell: now, requalify: now, ..sprung() }.check().unwrap();
    let mut lesson = Lesson::new(&policy);
    let first = lesson.step();
    assert_eq!((first.link, first.waiting), (Link::Good, Some(Waiting::Switch)));
    // One off reading: not seen off first.
    let mut once = lesson.clone();
    once.on = true;
    assert_eq!(once.run(9).waiting, Some(Waiting::SwitchOffFirst));
    // Two off readings: seen off first. One on reading: it does not yet take effect.
    let _ = lesson.after(1);
    lesson.on = true;
    assert_eq!(lesson.step().waiting, Some(Waiting::Settling { left: settle }));
    assert_eq!(lesson.after(1).pilot, all::<2>());
}

/// Given an axis that rests where it was left, when the engine is new, then the axis is held until its first stay is
/// over.
#[test]
fn where_left_is_held_until_its_first_stay_is_over_r2() {
    let still = Duration::from_millis(30);
    let rule = AxisRule { rest: Rest::WhereLeft { still }, ..AxisRule::sprung() };
    let policy = quick([rule]).check().unwrap();
    let mut lesson = Lesson::new(&policy);
    lesson.instructor = None;
    assert_eq!(lesson.run(9).held, AxisSet::of(&[0]));
    lesson.instructor = Some([9000]);
    assert_eq!(lesson.step().held, AxisSet::of(&[0]), "the stay begins with the first good frame");
    let _ = lesson.after(15 * MS);
    assert_eq!(lesson.after(15 * MS - 1).held, AxisSet::of(&[0]));
    assert_eq!(lesson.after(1).held, AxisSet::EMPTY);
}
