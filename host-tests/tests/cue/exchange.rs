//! Cues against the positive exchange of flight controls: FAA-H-8083-3C, Airplane Flying Handbook, chapter 1, and
//! FAA-H-8083-9B, Aviation Instructor's Handbook (edition letters from memory).

use handback::Pilot;
use handback::cue::{Cue, CueRules, Voice};
use handback_host_tests::{Lesson, ms, sprung, with};

use crate::desk::desk_with;

/// Given a spoken offer, when the craft is handed over, then the instructor has it from the offer to the confirmation,
/// and the confirmation comes when the student has it, not before.
/// Rules: A1, H1
#[test]
fn whoever_hands_over_stays_on_until_it_is_confirmed() {
    // FAA-H-8083-3C, chapter 1.
    let rules = CueRules::new().spoken(0, ms(1_200));
    let mut lesson = desk_with(with!(sprung::<4>(), dwell: ms(4_000)), &rules).steps(80).change(Lesson::switch_on);
    let mut said = Vec::new();
    for _ in 0..300 {
        lesson = lesson.steps(1);
        let student = matches!(lesson.lesson().outcome().pilot, Pilot::Student(_));
        said.extend(lesson.signs.last().and_then(|signs| signs.voice).map(|voice| (voice, student)));
    }
    let (offer, confirmation) = (Voice::Say(Cue::Offer.index()), Voice::Say(Cue::HandedBack.index()));
    assert_eq!(said, [(offer, false), (confirmation, true)]);
}

/// Given a voice in the middle of a handover, when the instructor takes over, then the voice says so in that step.
/// Rules: T2, A1
#[test]
fn taking_over_never_waits() {
    // Common practice, no source: taking over never waits for the other's answer.
    let rules = CueRules::new().spoken(0, ms(2_000));
    for late in [1, 10, 60, 140] {
        let mut lesson = desk_with(sprung::<4>(), &rules).steps(80).change(Lesson::switch_on);
        while !matches!(lesson.lesson().outcome().pilot, Pilot::Student(_)) {
            lesson = lesson.steps(1);
        }
        let taken = lesson.steps(late).change(|lesson| lesson.roll(5)).steps(1);
        assert_eq!(taken.signs[0].voice, Some(Voice::Say(Cue::Taken.index())), "{late} steps later");
        assert!(taken.signs[0].beeper && taken.signs[0].lamp && taken.signs[0].vibration);
    }
}
