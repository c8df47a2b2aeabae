//! Reminders: a cue is repeated while its state lasts and needs saying.

use handback::cue::{Cue, CueRule, CueRules};
use handback::{AxisRule, Policy};
use handback_host_tests::{Lesson, ms, sprung, with};

use crate::desk::{Desk, desk_with};

/// Every cue repeated every five seconds.
fn reminding() -> CueRules {
    let every = |rule: CueRule| with!(rule, every: ms(5_000));
    let CueRules { taken, lost, nobody, handed_back, both, .. } = CueRules::new();
    with!(CueRules::new(), taken: every(taken), lost: every(lost), nobody: every(nobody), handed_back: every(handed_back), both: every(both))
}

/// The number of steps from each beginning of this cue to the next.
fn distances<const N: usize>(desk: &Desk<N>, cue: Cue) -> Vec<usize> {
    let steps: Vec<usize> = desk.began.iter().filter(|(_, began)| *began == cue).map(|&(step, _)| step).collect();
    steps.windows(2).map(|pair| pair[1] - pair[0]).collect()
}

/// Given no reminders, when the student flies for long, then it is announced once.
#[test]
fn without_reminders_a_change_is_told_once() {
    let lesson = desk_with(sprung::<4>(), &CueRules::new()).student_flying().steps(2_000);
    assert_eq!(lesson.cues_of_lesson(), [Cue::HandedBack]);
}

/// Given reminders, when the student flies, then it is repeated every few seconds until the student no longer flies.
#[test]
fn handed_back_is_repeated_while_the_student_flies() {
    let lesson = desk_with(sprung::<4>(), &reminding()).student_flying().steps(1_000);
    assert_eq!(distances(&lesson, Cue::HandedBack), [250; 5]);
    let taken = lesson.change(|lesson| lesson.roll(5)).steps(1_000);
    assert_eq!(distances(&taken, Cue::HandedBack).len(), 5, "no more of it");
    assert!(distances(&taken, Cue::Taken).is_empty(), "a taking that ends by letting go needs no reminder");
}

/// Given reminders, when a takeover is latched, then it is repeated until the switch has been off.
#[test]
fn a_latched_takeover_is_repeated_until_the_switch_is_off() {
    let policy: Policy<4> = Policy::new([with!(AxisRule::sprung(), keep: true); 4]);
    let lesson = desk_with(policy, &reminding()).student_flying();
    let latched = lesson.change(|lesson| lesson.roll(5)).steps(50).change(|lesson| lesson.roll(0)).steps(1_000);
    assert_eq!(distances(&latched, Cue::Taken), [250; 4]);
    let cleared = latched.change(Lesson::switch_off).steps(1_000);
    assert_eq!(distances(&cleared, Cue::Taken), [250; 4]);
}

/// Given reminders, when the link is lost, then it is repeated until the link is back or the lesson is switched off.
#[test]
fn a_lost_link_is_repeated_until_back_or_switched_off() {
    let lesson =
        || desk_with(sprung::<4>(), &reminding()).student_flying().change(|lesson| lesson.student_frames(false));
    let lost = lesson().steps(800);
    assert_eq!(distances(&lost, Cue::Lost), [250; 3]);
    let back = lost.change(|lesson| lesson.student_frames(true)).steps(800);
    assert_eq!(distances(&back, Cue::Lost).len(), 3);
    let over = lesson().steps(300).change(Lesson::switch_off).steps(800);
    assert_eq!(distances(&over, Cue::Lost), [250], "and not when everybody packs up");
}

/// Given reminders, when the instructor's signal is lost, then it is repeated until the signal is back.
#[test]
fn a_lost_instructors_signal_is_repeated_until_back() {
    let policy = with!(sprung::<4>(), failsafe_after: ms(30_000));
    let lesson = desk_with(policy, &reminding()).student_flying();
    let lost = lesson.change(|lesson| lesson.instructor_frames(false)).steps(800);
    assert_eq!(distances(&lost, Cue::Lost), [250; 3]);
    let back = lost.change(|lesson| lesson.instructor_frames(true)).steps(800);
    assert_eq!(distances(&back, Cue::Lost).len(), 3);
}

/// Given reminders, when nobody flies, then it is repeated until somebody does.
#[test]
fn nobody_is_repeated_until_somebody_flies() {
    let lesson = desk_with(sprung::<4>(), &reminding()).steps(80);
    let nobody = lesson.change(|lesson| lesson.instructor_frames(false)).steps(600);
    assert_eq!(nobody.cues_of_lesson(), [Cue::Nobody; 3]);
    let back = nobody.change(|lesson| lesson.instructor_frames(true)).steps(600);
    assert_eq!(back.cues_of_lesson()[3..], [Cue::Taken]);
}

/// Given reminders, when nothing has changed yet, then nothing is announced.
#[test]
fn before_the_first_change_there_is_no_reminder() {
    // S1: the start is not announced, and so there is no reminder of it.
    let off = desk_with(sprung::<4>(), &reminding()).change(|lesson| lesson.student_frames(false)).steps(1_000);
    assert_eq!(off.change(|lesson| lesson.instructor_now(true)).steps(1_000).cues_of_lesson(), []);
}

/// Given a reminder, when a change comes, then the change is announced and the time to the next reminder begins again.
#[test]
fn a_change_cuts_a_reminder_short_and_restarts_its_time() {
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
