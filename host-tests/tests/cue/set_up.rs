//! The check of the cue rules, and its errors.

use handback::Duration;
use handback::cue::{CheckedCueRules, Cue, CueError, CueRule, CueRules, Phrase, Rhythm};
use handback_host_tests::{ms, us, with};

/// A change of one field of the default cues.
type Change<'a> = &'a dyn Fn(&mut CueRules);

fn refused(change: impl Fn(&mut CueRules)) -> Option<CueError> {
    let mut rules = CueRules::new();
    change(&mut rules);
    rules.check().err()
}

const fn rule(rhythm: Rhythm) -> CueRule {
    CueRule::of(rhythm)
}

/// Given each field at its limit and beyond, when the cues are checked, then beyond the limit they are refused by
/// name.
#[test]
fn what_cannot_be_heard_or_told_apart_is_refused_by_name() {
    let (taken, both, handed_back) = (Cue::Taken, Cue::Both, Cue::HandedBack);
    let phrase = |slot, lasts| Some(Phrase { slot, lasts });
    let needed = us(1_034_000); // (100 + 500 + 100 + 3 * 25) ms and a third
    let all: [(CueError, Change<'_>); 20] = [
        (CueError::Length { cue: taken, place: 1, ms: 39 }, &|r| r.taken = rule(Rhythm::of([500, 39, 500]))),
        (CueError::Length { cue: taken, place: 2, ms: 2_001 }, &|r| r.taken = rule(Rhythm::of([500, 100, 2_001]))),
        (CueError::Length { cue: both, place: 1, ms: 0 }, &|r| r.both = rule(Rhythm::of([100, 0, 100]))),
        (CueError::EndsInGap { cue: both }, &|r| r.both = rule(Rhythm::of([100, 100, 100, 100]))),
        (CueError::EndsInGap { cue: both }, &|r| r.both = rule(Rhythm::of([100, 100]))),
        (CueError::SinglePulse { cue: handed_back }, &|r| r.handed_back = rule(Rhythm::of([100]))),
        (CueError::Mute { cue: taken }, &|r| r.taken = rule(Rhythm::SILENT)),
        (CueError::Mute { cue: taken }, &|r| {
            r.taken = with!(r.taken, lamp: false, beeper: false, vibration: false);
        }),
        // 4 / 3 of a short pulse and a look, 100 + 25 ms, is 166.7 ms.
        (CueError::NotLong { cue: taken }, &|r| r.taken = rule(Rhythm::of([166, 100, 500]))),
        (CueError::NotLong { cue: taken }, &|r| r.taken = rule(Rhythm::of([500, 100, 166]))),
        (CueError::NotLong { cue: taken }, &|r| r.taken = rule(Rhythm::of([100, 100, 500, 100, 500]))),
        (CueError::NotLong { cue: taken }, &|r| r.both = rule(Rhythm::of([100, 100, 355, 100, 100]))),
        (CueError::Alike { cue: handed_back, other: both }, &|r| r.both = rule(Rhythm::of([100, 100, 100, 100, 100]))),
        (CueError::Alike { cue: taken, other: Cue::Lost }, &|r| r.lost = rule(Rhythm::of([500, 100, 500, 100, 100]))),
        (CueError::SamePhrase { cue: taken, other: both, slot: 9 }, &|r| {
            r.taken.phrase = phrase(9, ms(10));
            r.both.phrase = phrase(9, ms(20));
        }),
        (CueError::Phrase { cue: both, lasts: us(5_000_001) }, &|r| r.both.phrase = phrase(0, us(5_000_001))),
        (CueError::Rest { rest: us(1_033_999), needed }, &|r| r.rest = us(1_033_999)),
        (CueError::Rest { rest: us(10_000_001), needed }, &|r| r.rest = us(10_000_001)),
        // Its rhythm of 1100 ms and the rest of 1050 ms.
        (CueError::Every { cue: taken, every: us(2_149_999), needed: us(2_150_000) }, &|r| {
            r.taken.every = us(2_149_999);
        }),
        // The same with a shorter phrase.
        (CueError::Every { cue: taken, every: us(2_149_999), needed: us(2_150_000) }, &|r| {
            r.taken.phrase = phrase(9, ms(1_099));
            r.taken.every = us(2_149_999);
        }),
    ];
    for (why, change) in all {
        assert_eq!(refused(change), Some(why));
    }
    let too_late = us((1 << 31) + 1);
    assert_eq!(
        refused(|r| {
            r.both.phrase = phrase(0, ms(2_000));
            r.both.every = too_late;
        }),
        Some(CueError::Every { cue: both, every: too_late, needed: us(3_050_000) }),
        "of rhythm and phrase the longer counts"
    );
    let taken: [Change<'_>; 14] = [
        &|_| (),
        &|r| r.taken = rule(Rhythm::of([500, 40, 500])),
        &|r| r.taken = rule(Rhythm::of([500, 100, 2_000])),
        &|r| r.both = rule(Rhythm::SILENT),
        &|r| r.taken = with!(r.taken, rhythm: Rhythm::SILENT, phrase: phrase(0, ms(1))),
        &|r| r.both = with!(r.both, lamp: false, beeper: false, vibration: false),
        &|r| r.both = rule(Rhythm::of([100, 100, 100, 150, 100, 100, 100])),
        &|r| r.taken.phrase = phrase(9, us(5_000_000)),
        &|r| {
            r.taken.phrase = phrase(9, ms(10));
            r.lost.phrase = phrase(9, ms(10));
        },
        &|r| r.rest = needed,
        &|r| r.rest = us(10_000_000),
        &|r| r.taken.every = us(2_150_000),
        &|r| r.taken.every = us(1 << 31),
        &|r| r.taken.every = us(0),
    ];
    for (n, change) in taken.into_iter().enumerate() {
        assert_eq!(refused(change), None, "{n}");
    }
}

/// Given every error, when it is printed, then it names cue, field, value and remedy.
#[test]
fn every_error_names_cue_field_value_and_remedy() {
    let (cue, other) = (Cue::HandedBack, Cue::Both);
    let (short, long) = (us(111), us(222));
    let texts = [
        (
            CueError::Length { cue, place: 3, ms: 7 },
            "handed_back: rhythm has 7 ms at place 3: each pulse and gap must be 40 to 2000 ms long",
        ),
        (CueError::EndsInGap { cue }, "handed_back: rhythm ends in a gap: it must end in a pulse"),
        (CueError::SinglePulse { cue }, "handed_back: rhythm has 1 pulse: it must have 2 or more, or none"),
        (
            CueError::Mute { cue: Cue::Lost },
            "lost: rhythm is played by nothing, and nothing is said: one of them must be",
        ),
        (
            CueError::NotLong { cue: Cue::Nobody },
            "nobody: rhythm must begin with a pulse, and have a second one, a third longer than any of \
             handed_back, both and offer",
        ),
        (
            CueError::Alike { cue, other },
            "handed_back: rhythm can be mistaken for that of both: one must have other pulses",
        ),
        (
            CueError::SamePhrase { cue: Cue::Taken, other: Cue::Offer, slot: 250 },
            "taken: phrase is in slot 250, as that of offer is: they must differ",
        ),
        (
            CueError::Phrase { cue, lasts: Duration::MAX },
            "handed_back: phrase lasts 4294967295 us: it must last at most 5000000 us",
        ),
        (CueError::Rest { rest: short, needed: long }, "rest is 111 us: it must be 222 us to 10000000 us"),
        (
            CueError::Every { cue, every: Duration::MAX, needed: Duration::MAX },
            "handed_back: every is 4294967295 us: it must be 0, or 4294967295 us to 2147483648 us",
        ),
    ];
    for (error, text) in texts {
        assert_eq!(error.to_string(), text);
        assert!(text.contains(error.field()));
        assert!(error.cue().is_none_or(|cue| text.starts_with(cue.name())));
    }
}

/// Given cues, when they are written and read, then they are the same; bad ones do not come back as checked ones.
#[test]
fn cues_survive_the_way_out_and_back_and_bad_ones_do_not() {
    let rules = with!(CueRules::new().spoken(4, ms(900)), rest: ms(2_000));
    let text = serde_json::to_string(&rules).expect("written");
    assert_eq!(serde_json::from_str::<CueRules>(&text).expect("read"), rules);
    let checked = rules.check().expect("good cues");
    assert_eq!(serde_json::from_str::<CheckedCueRules>(&text).expect("read"), checked);
    assert_eq!(serde_json::to_string(&checked).expect("written"), text);

    let bad = serde_json::to_string(&with!(rules, rest: ms(1))).expect("written");
    let why = serde_json::from_str::<CheckedCueRules>(&bad).expect_err("refused");
    assert!(why.to_string().contains("rest is 1000 us"), "{why}");
    assert!(serde_json::from_str::<CueRules>(&text.replacen("rhythm", "rythm", 1)).is_err(), "an unknown field");
    // More lengths than a rhythm has.
    assert!(serde_json::from_str::<Rhythm>("[1,1,1,1,1,1,1,1,1,1,1,1]").is_err());
}

/// Given cues in a `const`, when they are compiled, then the compiler checks them; they can stay in flash.
#[test]
fn cues_are_checked_in_a_const() {
    const CUES: CheckedCueRules = handback::checked!(CueRules::new());
    assert_eq!(*CUES.rules(), CueRules::default());
}
