//! A voice module: the right phrase, once, at its time, and none that is no longer true.

use handback::cue::{Cue, CueRule, CueRules, Cues, Phrase, Rhythm, Voice};
use handback::{Duration, Instant};
use handback_host_tests::{Lesson, ms, sprung, with};

use crate::desk::{Told, checked, desk_with, said};

fn spoken() -> CueRules {
    with!(CueRules::new(), offer: CueRule::of(Cue::Offer.rhythm())).spoken(20, ms(1_500))
}

/// Given a voice, when a lesson goes on, then each cue is said once, from the slot of that cue.
#[test]
fn each_cue_is_said_once() {
    let lesson = desk_with(with!(sprung::<4>(), dwell: ms(4_000)), &spoken()).steps(80);
    let handed = lesson.change(Lesson::switch_on).steps(400);
    assert_eq!(said(&handed.signs), [Voice::Say(25), Voice::Say(23)], "an offer, and that it is done");
    let taken = handed.change(|lesson| lesson.roll(5)).steps(400);
    assert_eq!(said(&taken.signs), [Voice::Say(20)]);
    assert_eq!(taken.signs[0].voice, Some(Voice::Say(20)), "in the step of the stick");
}

/// Given a phrase that outlasts its rhythm, when the next cue is due, then that cue waits until the phrase is over.
#[test]
fn a_phrase_that_takes_is_not_cut_short() {
    let rules = checked(&CueRules::new().spoken(0, ms(3_000)));
    let mut cues = Cues::new(rules);
    let at = |n: u32| Instant::from_ticks(n * 20_000);
    let _ = cues.step(&Told::change(Cue::Taken).outcome(at(0)));
    let mut said_at = None;
    for n in 1..400 {
        let told = Told::change(Cue::HandedBack);
        let signs = cues.step(&if n == 1 { told } else { told.goes_on() }.outcome(at(n)));
        if let Some(voice) = signs.voice {
            assert_eq!((voice, said_at.replace(n)), (Voice::Say(3), None));
        }
    }
    assert_eq!(said_at, Some(150 + 53), "three seconds and a rest of 1.05 s");
}

/// Given a cue that takes and has no phrase, when it cuts short one that speaks, then the voice stops; when no voice
/// speaks, then there is nothing to stop.
#[test]
fn a_voice_that_says_what_is_no_longer_true_is_stopped() {
    let phrase = Some(Phrase { slot: 7, lasts: ms(2_000) });
    let base = CueRules::new();
    let rules = checked(&with!(base, handed_back: with!(base.handed_back, phrase: phrase)));
    let mut cues = Cues::new(rules);
    let at = |n: u32| Instant::from_ticks(n * 20_000);
    assert_eq!(cues.step(&Told::change(Cue::HandedBack).outcome(at(0))).voice, Some(Voice::Say(7)));
    for n in 1..80 {
        assert_eq!(cues.step(&Told::change(Cue::HandedBack).goes_on().outcome(at(n))).voice, None);
    }
    let cut = cues.step(&Told::change(Cue::Taken).outcome(at(80)));
    assert_eq!((cut.voice, cut.beeper), (Some(Voice::Stop), true));
    let mut cues = Cues::new(rules);
    assert_eq!(cues.step(&Told::change(Cue::Taken).outcome(at(0))).voice, None, "there is nothing to stop");
}

/// Given a cue without a rhythm, when it has a phrase, then the phrase is said and nothing sounds.
#[test]
fn a_cue_can_be_said_alone() {
    let base = CueRules::new().spoken(0, ms(1_000));
    let rules = checked(&with!(base, taken: with!(base.taken, rhythm: Rhythm::SILENT)));
    let mut cues = Cues::new(rules);
    for n in 0..200 {
        let told = Told::change(Cue::Taken);
        let told = if n == 0 { told } else { told.goes_on() };
        let signs = cues.step(&told.outcome(Instant::from_ticks(n * 20_000)));
        assert_eq!((signs.voice, signs.beeper), ((n == 0).then_some(Voice::Say(0)), false));
        assert_eq!(cues.playing().is_some(), n < 50, "step {n}");
    }
}

/// Given the wording of the phrases, when it is compared, then no two phrases are the same, and those by which the
/// instructor gets the craft begin with 'I have'.
#[test]
fn the_wording_follows_the_exchange_in_three_steps() {
    // The steps are those of FAA-H-8083-3C (letter from memory), chapter 1, which has people say 'you have the flight
    // controls' and 'I have the flight controls'. The shorter words are this project's own.
    for cue in [Cue::Taken, Cue::Lost] {
        assert!(cue.wording().starts_with("I have control"));
    }
    assert!(Cue::HandedBack.wording().starts_with("You have control"));
    for cue in Cue::ALL {
        let same = Cue::ALL.iter().filter(|other| other.wording() == cue.wording());
        assert_eq!(same.count(), 1);
        assert_eq!(usize::from(cue.index()), Cue::ALL.iter().position(|&other| other == cue).expect("one of all"));
    }
    let slots = CueRules::new().spoken(250, Duration::from_ticks(0));
    assert_eq!(Cue::ALL.map(|cue| slots.rule(cue).phrase.map(|p| p.slot)), [250, 251, 252, 253, 254, 255].map(Some));
}
