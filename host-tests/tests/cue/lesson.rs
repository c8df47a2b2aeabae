//! Cues of whole lessons: one for each change, which says who has control.

use handback::cue::{Cue, CueRules};
use handback::{AxisSet, Deflection, Scope};
use handback_host_tests::{Lesson, ms, points, sprung, us, with};

use crate::desk::{desk, desk_with};

/// Given a lesson, when it starts, with or without the switch on, then nothing is heard until something changes.
/// Rules: S1, A1
#[test]
fn a_start_is_not_announced() {
    // Announcement once per change, none at start-up: common practice, no source.
    let off = desk().steps(200);
    assert_eq!((off.cues_of_lesson(), off.beeps().contains(&true)), (vec![], false));
    let on_at_power_up = desk().change(Lesson::switch_on).steps(200);
    assert_eq!(on_at_power_up.cues_of_lesson(), []);
    let late = desk().change(|lesson| lesson.instructor_frames(false)).steps(100);
    let late = late.change(|lesson| lesson.instructor_frames(true)).steps(50);
    assert_eq!(late.cues_of_lesson(), [], "nobody before the first frame is no change");
}

/// Given a lesson, when who flies changes, then each change has one cue, in its own step.
/// Rules: A1
#[test]
fn each_change_has_one_cue() {
    // Common practice, no source.
    let lesson = desk().student_flying().change(|lesson| lesson.roll(5)).steps(250);
    let lesson = lesson.change(|lesson| lesson.roll(0)).steps(250).change(Lesson::switch_off).steps(250);
    assert_eq!(lesson.cues_of_lesson(), [Cue::HandedBack, Cue::Taken, Cue::HandedBack, Cue::Taken]);
    let events = lesson.lesson().events();
    let steps: Vec<usize> = events.iter().map(|event| event.at.as_ticks() as usize / 20_000).collect();
    assert_eq!(lesson.began.iter().map(|&(step, _)| step).collect::<Vec<_>>(), steps);
}

/// Given a student who flies, when something takes the craft, then the cue tells what a person asked for from what
/// failed.
/// Rules: A1
#[test]
fn what_was_asked_for_is_told_apart_from_what_failed() {
    type Change = fn(Lesson<4>) -> Lesson<4>;
    let asked: [Change; 3] = [|l| l.roll(5), Lesson::switch_off, |l| l.instructor_now(true)];
    for change in asked {
        assert_eq!(desk().student_flying().change(change).steps(30).began[1..].len(), 1);
        assert_eq!(desk().student_flying().change(change).steps(30).began[1].1, Cue::Taken);
    }
    let failed: [Change; 2] =
        [|l| l.student_frames(false), |l| l.instructor_sticks([points(0), points(0), points(0), Deflection::MAX])];
    for change in failed {
        assert_eq!(desk().student_flying().change(change).steps(30).began[1].1, Cue::Lost);
    }
    let late_step = desk().student_flying().step_of(ms(300)).steps(30);
    assert_eq!(late_step.began[1].1, Cue::Lost, "a late step");
    let silent = desk().student_flying().change(|lesson| lesson.instructor_frames(false)).steps(400);
    let told: Vec<Cue> = silent.cues_of_lesson();
    assert_eq!(told, [Cue::HandedBack, Cue::Lost, Cue::Nobody], "the instructor's signal, and a second later nobody");
    let back = silent.change(|lesson| lesson.instructor_frames(true)).steps(1);
    assert_eq!(back.began[3].1, Cue::Taken, "and the instructor again");
}

/// Given scope axis, when the student loses and gains single axes, then the cue says that both fly.
/// Rules: A1, T5
#[test]
fn with_single_axes_the_cue_says_that_both_fly() {
    let policy = with!(sprung::<2>(), scope: Scope::Axis);
    let lesson = desk_with(policy, &CueRules::new()).student_flying();
    let both = lesson.change(|lesson| lesson.roll(5)).steps(150);
    assert_eq!(both.cues_of_lesson(), [Cue::HandedBack, Cue::Both]);
    let none = both.change(|lesson| lesson.instructor(1, points(5))).steps(150);
    let some = none.change(|lesson| lesson.instructor(1, points(0))).steps(150);
    let all = some.change(|lesson| lesson.roll(0)).steps(150);
    assert_eq!(all.cues_of_lesson()[2..], [Cue::Taken, Cue::Both, Cue::HandedBack]);

    // Axes that are never shared are not missing.
    let policy = with!(sprung::<2>(), shared: AxisSet::of(&[0]));
    assert_eq!(desk_with(policy, &CueRules::new()).student_flying().cues_of_lesson(), [Cue::HandedBack]);
}

/// Given a student who just got the craft, when the instructor takes it, then the cue of the takeover begins in the
/// same step and is played to its end, and that of the handback stops; what the student gets meanwhile is announced
/// afterwards.
/// Rules: T2, A1
#[test]
fn the_taking_over_cuts_short_and_comes_before_the_handing_back() {
    let mut lesson = desk().steps(80).change(Lesson::switch_on);
    while lesson.began.is_empty() {
        lesson = lesson.steps(1);
    }
    let taken = lesson.steps(1).change(|lesson| lesson.roll(5)).steps(2).change(|lesson| lesson.roll(0)).steps(150);
    assert_eq!(taken.cues_of_lesson(), [Cue::HandedBack, Cue::Taken, Cue::HandedBack]);
    let [handed, took, again] = [0, 1, 2].map(|n| taken.began[n].0);
    assert_eq!(took, handed + 2, "cut short in the step of the stick");
    let dwell_over = taken.lesson().events()[2].at.as_ticks() as usize / 20_000;
    assert!(dwell_over < took + 20, "the student has it again before the cue of the taking is over");
    // 500, 100 and 500 ms, each up to the next step, and the rest of 1.05 s.
    assert_eq!(again, took + 25 + 5 + 25 + 53);
}

/// Given a lesson, when frames come at another rate, then the cues are the same.
#[test]
fn the_rate_of_frames_makes_no_other_cue() {
    for dt in [5_000, 10_000, 22_500] {
        let mut lesson = desk();
        let run = |mut lesson: crate::desk::Desk<4>, time: u32| {
            for _ in 0..time / dt {
                lesson = lesson.step_of(us(dt));
            }
            lesson
        };
        lesson = run(lesson, 1_600_000);
        lesson = run(lesson.change(Lesson::switch_on), 4_000_000);
        lesson = run(lesson.change(|lesson| lesson.roll(5)), 4_000_000);
        assert_eq!(lesson.cues_of_lesson(), [Cue::HandedBack, Cue::Taken], "steps of {dt} us");
    }
}
