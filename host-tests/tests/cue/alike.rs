//! Cues at the edges of their check: as many pulses as there are, none, and phrases that are shared.

use handback::cue::{CheckedCueRules, Cue, CueError, CueRules, Phrase, Rhythm};
use handback_host_tests::ms;

/// Given two rhythms of six short pulses each, when they are checked, then one is mistaken for the other.
#[test]
fn six_pulses_are_compared_to_the_last() {
    let mut rules = CueRules::new();
    rules.both.rhythm = Rhythm::of([100; Rhythm::LENGTHS]);
    assert_eq!(rules.check(), Err(CueError::Alike { cue: Cue::Both, other: Cue::Offer }));
}

/// Given a cue that takes the craft and is only spoken, when the rules are checked, then they pass; given one slot for two
/// cues that do not take the craft, they pass too, and what was checked is given back unchanged.
#[test]
fn a_spoken_takeover_and_a_shared_phrase_pass() {
    let mut rules = CueRules::new();
    rules.taken.rhythm = Rhythm::SILENT;
    let phrase = |slot| Some(Phrase { slot, lasts: ms(900) });
    rules.taken.phrase = phrase(1);
    (rules.both.phrase, rules.offer.phrase) = (phrase(2), phrase(2));
    let checked: CheckedCueRules = rules.check().expect("a good set of cues");
    assert_eq!(CueRules::from(checked), rules);
}

/// Given each cue, when its words and its place are asked for, then they are its own.
#[test]
fn each_cue_has_its_words_and_its_place() {
    let said = Cue::ALL.map(Cue::wording);
    assert_eq!(
        said,
        [
            "I have control.",
            "I have control: signal lost.",
            "Nobody has control.",
            "You have control.",
            "Both have control.",
            "Ready for control?",
        ]
    );
    assert_eq!(Cue::ALL.map(Cue::index), [0, 1, 2, 3, 4, 5]);
}
