//! Reminders: what was told, told again while it is so and needs saying.

use handback::cue::{Cue, CueRule, CueRules};
use handback::{AxisRule, Policy};
use handback_host_tests::{Lesson, ms, sprung};

use crate::desk::{Desk, desk_with};

/// Every cue repeated every five seconds.
fn reminding() -> CueRules {
    let every = |rule: CueRule| CueRule { every: ms(5_000), ..rule };
    let CueRules { taken, lost, nobody, handed_back, both, .. } = CueRules::new();
    CueRules {
        taken: every(taken),
        lost: every(lost),
        nobody: every(nobody),
        handed_back: every(handed_back),
        both: every(both),
        ..CueRules::new()
    }
}

/// The steps from each cue to the next, since the last change by the test.
fn distances<const N: usize>(desk: &Desk<N>, cue: Cue) -> Vec<usize> {
    let steps: Vec<usize> = desk.began.iter().filter(|(_, began)| *began == cue).map(|&(step, _)| step).collect();
    steps.windows(2).map(|pair| pair[1] - pair[0]).collect()
}

#[test]
fn given_no_reminders_when_the_student_flies_for_long_then_it_is_told_once() {
    let lesson = desk_with(sprung::<4>(), &CueRules::new()).student_flying().steps(2_000);
    assert_eq!(lesson.cues_of_lesson(), [Cue::HandedBack]);
}

#[test]
fn given_reminders_when_the_student_flies_then_it_is_told_every_few_seconds_until_he_does_not() {
    let lesson = desk_with(sprung::<4>(), &reminding()).student_flying().steps(1_000);
    assert_eq!(distances(&lesson, Cue::HandedBack), [250; 5]);
    let taken = lesson.change(|lesson| lesson.roll(5)).steps(1_000);
    assert_eq!(distances(&taken, Cue::HandedBack).len(), 5, "no more of it");
    assert!(distances(&taken, Cue::Taken).is_empty(), "a taking that ends by letting go needs no reminder");
}

#[test]
fn given_reminders_when_a_taking_is_latched_then_it_is_told_until_the_switch_has_been_off() {
    let policy: Policy<4> = Policy::new([AxisRule { keep: true, ..AxisRule::sprung() }; 4]);
    let lesson = desk_with(policy, &reminding()).student_flying();
    let latched = lesson.change(|lesson| lesson.roll(5)).steps(50).change(|lesson| lesson.roll(0)).steps(1_000);
    assert_eq!(distances(&latched, Cue::Taken), [250; 4]);
    let cleared = latched.change(Lesson::switch_off).steps(1_000);
    assert_eq!(distances(&cleared, Cue::Taken), [250; 4]);
}

#[test]
fn given_reminders_when_the_link_is_lost_then_it_is_told_until_it_is_back_or_the_lesson_is_switched_off() {
    let lesson =
        || desk_with(sprung::<4>(), &reminding()).student_flying().change(|lesson| lesson.student_frames(false));
    let lost = lesson().steps(800);
    assert_eq!(distances(&lost, Cue::Lost), [250; 3]);
    let back = lost.change(|lesson| lesson.student_frames(true)).steps(800);
    assert_eq!(distances(&back, Cue::Lost).len(), 3);
    let over = lesson().steps(300).change(Lesson::switch_off).steps(800);
    assert_eq!(distances(&over, Cue::Lost), [250], "and not when everybody packs up");
}

#[test]
fn given_reminders_when_the_instructors_signal_is_lost_then_it_is_told_until_it_is_back() {
    let policy = Policy { failsafe_after: ms(30_000), ..sprung::<4>() };
    let lesson = desk_with(policy, &reminding()).student_flying();
    let lost = lesson.change(|lesson| lesson.instructor_frames(false)).steps(800);
    assert_eq!(distances(&lost, Cue::Lost), [250; 3]);
    let back = lost.change(|lesson| lesson.instructor_frames(true)).steps(800);
    assert_eq!(distances(&back, Cue::Lost).len(), 3);
}

#[test]
fn given_reminders_when_nobody_flies_then_it_is_told_until_somebody_does() {
    let lesson = desk_with(sprung::<4>(), &reminding()).steps(80);
    let nobody = lesson.change(|lesson| lesson.instructor_frames(false)).steps(600);
    assert_eq!(nobody.cues_of_lesson(), [Cue::Nobody; 3]);
    let back = nobody.change(|lesson| lesson.instructor_frames(true)).steps(600);
    assert_eq!(back.cues_of_lesson()[3..], [Cue::Taken]);
}

#[test]
fn given_reminders_when_nothing_has_changed_yet_then_nothing_is_told() {
    // S1: none at the start, and so no reminder of it.
    let off = desk_with(sprung::<4>(), &reminding()).change(|lesson| lesson.student_frames(false)).steps(1_000);
    assert_eq!(off.change(|lesson| lesson.instructor_now(true)).steps(1_000).cues_of_lesson(), []);
}

#[test]
fn given_a_reminder_when_a_change_comes_then_the_change_is_told_and_the_time_begins_anew() {
    let lesson = desk_with(sprung::<4>(), &reminding()).student_flying();
    let so_far = lesson.began.len();
    let mut flying = lesson;
    while flying.began.len() == so_far {
        flying = flying.steps(1);
    }
    let told = flying.began[so_far];
    let taken = flying.change(|lesson| lesson.roll(5)).steps(1).change(|lesson| lesson.roll(0)).steps(400);
    let [took, handed, again] = [1, 2, 3].map(|n| taken.began[so_far + n]);
    assert_eq!((told.1, took), (Cue::HandedBack, (told.0 + 1, Cue::Taken)), "cut short");
    assert_eq!((handed.1, again), (Cue::HandedBack, (handed.0 + 250, Cue::HandedBack)));
}
