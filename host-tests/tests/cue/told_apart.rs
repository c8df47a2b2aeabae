//! No two cues can be confused after the loss of any one pulse or gap.

use handback::cue::{Cue, CueRule, CueRules, LOOK_EVERY, Rhythm};
use handback::{Duration, Instant};
use handback_host_tests::with;
use proptest::prelude::*;

use crate::desk::{Told, checked};
use crate::ear::{Run, alike, mistaken, played, pulses, runs, trimmed, with_one_loss};

/// Rules that play all cues, the offer too.
fn all_on() -> CueRules {
    with!(CueRules::new(), offer: handback::cue::CueRule::of(Cue::Offer.rhythm()))
}

fn pairs() -> impl Iterator<Item = (Cue, Cue)> {
    let all = || Cue::ALL.into_iter();
    all().flat_map(move |one| all().map(move |other| (one, other))).filter(|(one, other)| one.index() < other.index())
}

/// Given every pair of cues as they are played, when each loses any one pulse or gap or nothing, then they still
/// differ in the number of pulses, or in a pulse that is longer by a third. This holds for all steps up to the longest
/// allowed.
#[test]
fn no_two_cues_can_be_mistaken_after_one_loss() {
    let steps = [1_000, 5_000, 8_000, 10_000, 14_000, 20_000, 22_500, 25_000];
    let heard: Vec<(Cue, Vec<Vec<u32>>)> = Cue::ALL
        .into_iter()
        .flat_map(|cue| steps.map(|step| (cue, with_one_loss(&played(&all_on(), Told::change(cue), &[step])))))
        .collect();
    let mut compared = 0;
    for (one, these) in &heard {
        assert!(these.iter().all(|pulses| !pulses.is_empty()), "something is left of {one:?}");
        for (other, those) in heard.iter().filter(|(other, _)| other != one) {
            for (this, that) in these.iter().flat_map(|this| those.iter().map(move |that| (this, that))) {
                assert!(!alike(this, that), "{one:?} as {this:?} and {other:?} as {that:?}");
                compared += 1;
            }
        }
    }
    println!("{compared} pairs of sounds told apart");
    assert!(compared > 100_000);
}

/// Given every pair of cues, when every length is, independently of the others, between as written and one look
/// longer, then the definition of the rule still tells them apart. This covers every sequence of looks, also uneven
/// ones.
#[test]
fn whatever_the_looks_are_no_two_cues_can_be_mistaken() {
    for (one, other) in pairs() {
        assert!(!mistaken(&one.rhythm(), &other.rhythm()), "{one:?} and {other:?}");
    }
    // The reference ear does confuse rhythms that differ too little.
    assert!(mistaken(&Cue::Taken.rhythm(), &handback::cue::Rhythm::of([500, 100, 500, 100, 500])));
    assert!(mistaken(&Cue::Taken.rhythm(), &handback::cue::Rhythm::of([390, 100, 390])));
}

/// Given any looks, even or uneven but none late, when a cue is played, then each length is as written or up to one
/// look longer.
#[test]
fn each_length_is_as_written_or_up_to_one_look_longer() {
    let late = LOOK_EVERY.as_ticks();
    for cue in Cue::ALL {
        for steps in [vec![1_000], vec![25_000], vec![22_500], vec![3_000, 25_000, 11_000, 1_000, 24_999], vec![7_001]]
        {
            let played = played(&all_on(), Told::change(cue), &steps);
            let lengths: Vec<u32> = cue.rhythm().lengths().iter().map(|&ms| u32::from(ms) * 1000).collect();
            assert_eq!(played.len(), lengths.len(), "{cue:?} in steps of {steps:?}: {played:?}");
            for (n, (&(on, heard), &written)) in played.iter().zip(&lengths).enumerate() {
                assert_eq!(on, n % 2 == 0);
                assert!(heard >= written && heard < written + late, "{cue:?}: {heard} us for {written}");
            }
        }
    }
}

/// Given a cue that does not take, when one that takes cuts it short at any moment, then the sound contains a long
/// pulse, ends in the whole cue that takes, and is no other cue, whole or with one loss.
#[test]
fn a_cue_that_is_cut_short_does_not_make_another_one() {
    let whole = |cue| with_one_loss(&played(&all_on(), Told::change(cue), &[5_000]));
    let mut cuts = 0;
    for cut in [Cue::HandedBack, Cue::Both, Cue::Offer] {
        for by in [Cue::Taken, Cue::Lost, Cue::Nobody] {
            let end = cut.rhythm().lasts() * 1_000 + 1_100_000;
            for moment in (0..end).step_by(5_000) {
                let heard = trimmed(cut_at(cut, by, moment));
                let heard = pulses(&heard);
                let expected = pulses(&played(&all_on(), Told::change(by), &[5_000]));
                let tail = &heard[heard.len() - expected.len()..];
                assert!(
                    tail[0] >= expected[0] && tail[1..] == expected[1..],
                    "{cut:?} by {by:?} at {moment}: {heard:?}"
                );
                for other in Cue::ALL.into_iter().filter(|&other| other != by) {
                    for that in whole(other) {
                        assert!(!alike(&heard, &that), "{cut:?} by {by:?} at {moment}: {heard:?} is {other:?}");
                    }
                }
                cuts += 1;
            }
        }
    }
    println!("{cuts} cuts");
    assert!(cuts > 1_000);
}

fn cut_at(cut: Cue, by: Cue, moment: u32) -> Vec<Run> {
    let mut cues = handback::cue::Cues::new(checked(&all_on()));
    let looks: Vec<(u32, bool)> = (0..8_000_000)
        .step_by(5_000)
        .map(|now| {
            let at = Instant::from_ticks(now);
            let signs = if now == moment && now == 0 {
                let _ = cues.step(&Told::change(cut).outcome(at));
                cues.step(&Told::change(by).outcome(at))
            } else if now == moment {
                cues.step(&Told::change(by).outcome(at))
            } else if now == 0 {
                cues.step(&Told::change(cut).outcome(at))
            } else {
                cues.look(at)
            };
            (now, signs.beeper)
        })
        .collect();
    runs(&looks)
}

/// Given the default rhythms, when any one pulse is lost and no gap, then some pulse of two cues with as many pulses
/// differs by a factor of 5 or more.
#[test]
fn the_margin_of_the_default_cues() {
    // The loss of a pulse alone, as the cues are played in steps of 20 ms, for the worst pair of cues.
    let lost_pulse = |cue: Cue| -> Vec<Vec<u32>> {
        let played = played(&all_on(), Told::change(cue), &[20_000]);
        let whole = pulses(&played);
        let mut all = vec![whole.clone()];
        all.extend((0..whole.len()).map(|lost| [&whole[..lost], &whole[lost + 1..]].concat()));
        all
    };
    let mut worst = f64::INFINITY;
    for (one, other) in pairs() {
        for this in lost_pulse(one) {
            for that in lost_pulse(other).iter().filter(|that| that.len() == this.len()) {
                let ratio = |(&a, &b): (&u32, &u32)| f64::from(a.max(b)) / f64::from(a.min(b));
                worst = worst.min(this.iter().zip(that).map(ratio).fold(1.0, f64::max));
            }
        }
    }
    println!("after losing any one pulse, some pulse is {worst:.2} times as long as its counterpart");
    assert!(worst >= 5.0, "{worst}");
}

fn any_rhythm() -> impl Strategy<Value = handback::cue::Rhythm> {
    let length = prop_oneof![Just(100u16), Just(500), Just(300), 40u16..=700];
    (2usize..=6, prop::collection::vec(length, 11)).prop_map(|(pulses, lengths)| {
        let mut all = [0; 11];
        all[..2 * pulses - 1].copy_from_slice(&lengths[..2 * pulses - 1]);
        handback::cue::Rhythm::of(all)
    })
}

proptest! {
    /// Given any rhythms for two cues, when they are checked, then they are refused as alike exactly where the
    /// reference ear confuses them.
    #[test]
    fn rhythms_are_refused_as_alike_just_where_they_are(both in any_rhythm(), offer in any_rhythm()) {
        // No other cue has a rhythm, so that no other is compared; the rest is as long as can be.
        let all = CueRules::new().spoken(0, Duration::from_ticks(0));
        let spoken = |cue| with!(*all.rule(cue), rhythm: Rhythm::SILENT);
        let [taken, lost, nobody, handed_back] = [Cue::Taken, Cue::Lost, Cue::Nobody, Cue::HandedBack].map(spoken);
                let rest = Duration::from_millis(10_000);
        let rules = with!(CueRules::new(), taken, lost, nobody, handed_back, both: CueRule::of(both), offer: CueRule::of(offer), rest);
        let alike = handback::cue::CueError::Alike { cue: Cue::Both, other: Cue::Offer };
        prop_assert_eq!(rules.check().err(), mistaken(&both, &offer).then_some(alike));
    }
}
