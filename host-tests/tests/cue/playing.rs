//! The playing of a cue: it never blocks and skips nothing, whatever the clock does.

use std::mem::size_of;

use handback::Instant;
use handback::cue::{Cue, CueRule, CueRules, Cues, Rhythm, Signs};
use handback_host_tests::{us, with};
use proptest::prelude::*;

use crate::desk::{Told, checked};
use crate::ear::played;

fn count_pulses(sounds: &[bool]) -> usize {
    sounds.windows(2).filter(|pair| pair[1] && !pair[0]).count()
}

/// Given any change, when it comes, then its cue begins in that step, and lamp, beeper and vibration do the same.
#[test]
fn a_cue_begins_in_the_step_of_its_change_on_all_three_at_once() {
    let rules = checked(&CueRules::new());
    for cue in [Cue::Taken, Cue::Lost, Cue::Nobody, Cue::HandedBack, Cue::Both] {
        let mut cues = Cues::new(rules);
        for step in 0..250 {
            let told = if step == 0 { Told::change(cue) } else { Told::change(cue).goes_on() };
            let signs = cues.step(&told.outcome(Instant::from_ticks(step * 20_000)));
            assert!(step != 0 || signs.beeper, "{cue:?}");
            assert_eq!((signs.lamp, signs.vibration), (signs.beeper, signs.beeper));
            assert_eq!(signs.student_flies, matches!(cue, Cue::HandedBack | Cue::Both));
        }
        assert_eq!(cues.playing(), None, "{cue:?} is over after five seconds");
    }
}

/// Given a cue that only one output plays, when it comes, then the other outputs are silent.
#[test]
fn each_cue_is_played_by_whom_its_rule_names() {
    let base = CueRules::new();
    for (lamp, beeper, vibration) in [(true, false, false), (false, true, false), (false, false, true)] {
        let taken = with!(base.taken, lamp: lamp, beeper: beeper, vibration: vibration);
        let mut cues = Cues::new(checked(&with!(base, taken: taken)));
        let signs = cues.step(&Told::change(Cue::Taken).outcome(Instant::from_ticks(0)));
        assert_eq!(signs, Signs { lamp, beeper, vibration, begun: Some(Cue::Taken), ..Signs::default() });
    }
}

/// Given two changes, when the second one waits, then its cue begins once the rest has lasted, to the microsecond.
#[test]
fn a_rest_lasts_as_long_as_it_is_told() {
    let begins = |rest: u32| {
        let mut cues = Cues::new(checked(&with!(CueRules::new(), rest: us(rest))));
        let changes = [Told::change(Cue::Taken), Told::change(Cue::HandedBack)];
        let after = changes.into_iter().chain(std::iter::repeat(changes[1].goes_on()));
        let steps = (0..).zip(after.take(200));
        let begun =
            steps.filter_map(|(n, told)| cues.step(&told.outcome(Instant::from_ticks(n * 20_000))).begun.map(|_| n));
        begun.collect::<Vec<u32>>()
    };
    assert_eq!(begins(1_060_000), [0, 55 + 53]);
    assert_eq!(begins(1_060_001), [0, 55 + 54]);
}

/// Given a loop that is far too slow, when a cue is played, then every pulse is still there.
#[test]
fn a_loop_that_is_too_slow_lengthens_a_cue_and_skips_nothing() {
    for cue in [Cue::Taken, Cue::Lost, Cue::Nobody, Cue::HandedBack, Cue::Both] {
        for step in [60_000, 150_000, 300_000, 450_000] {
            let played = played(&CueRules::new(), Told::change(cue), &[step]);
            assert_eq!(played.len(), cue.rhythm().lengths().len(), "{cue:?} in steps of {step} us: {played:?}");
        }
    }
}

/// Given a cue, when the clock wraps anywhere in it, then nothing changes.
#[test]
fn a_clock_that_wraps_changes_nothing() {
    let rules = checked(&CueRules::new());
    let play = |start: u32| -> Vec<Signs> {
        let mut cues = Cues::new(rules);
        let at = |n: u32| Instant::from_ticks(start.wrapping_add(n * 20_000));
        let changes = [(5, Cue::HandedBack), (30, Cue::Taken), (40, Cue::Both), (170, Cue::Nobody)];
        let mut told = Told::START;
        (0..400)
            .map(|n| {
                told = changes.iter().find(|c| c.0 == n).map_or(told.goes_on(), |c| Told::change(c.1));
                cues.step(&told.outcome(at(n)))
            })
            .collect()
    };
    let straight = play(0);
    assert!(straight.iter().filter(|signs| signs.beeper).count() > 100);
    for wraps_at in (0..400).step_by(3) {
        assert_eq!(play(0u32.wrapping_sub(wraps_at * 20_000 + 7)), straight);
    }
}

/// Given looks between the steps, when a cue is played, then the rhythm is the same, and looks alone announce no
/// change.
#[test]
fn looks_between_the_steps_show_the_same_rhythm_finer() {
    let mut cues = Cues::new(checked(&CueRules::new()));
    let mut on_for = 0;
    for ms in 0..3_000 {
        let at = Instant::from_ticks(ms * 1_000);
        let signs = if ms == 0 { cues.step(&Told::change(Cue::HandedBack).outcome(at)) } else { cues.look(at) };
        on_for += u32::from(signs.beeper);
    }
    assert_eq!(on_for, 200, "two pulses of 100 ms");
    assert_eq!(cues.look(Instant::from_ticks(3_000_000)).voice, None);
}

/// Given the cues, when the size of their state is measured, then it is as documented.
#[test]
fn the_cues_are_as_large_as_is_said() {
    println!("cues: {} bytes, rules: {}", size_of::<Cues>(), size_of::<CueRules>());
    assert!(size_of::<Cues>() <= 48);
    assert_eq!(size_of::<Rhythm>(), 22);
}

fn any_cue() -> impl Strategy<Value = Cue> {
    (0usize..6).prop_map(|n| Cue::ALL[n])
}

/// Follows the cues by their signs alone.
#[derive(Default)]
struct Listener {
    /// The cue that is playing, from its beginning to the end of its rest.
    telling: Option<Cue>,
    /// How long the rest after it has lasted, in microseconds.
    rested: Option<u32>,
    sounds: Vec<bool>,
    began: usize,
}

impl Listener {
    fn pass(&mut self, dt: u32) {
        self.rested = self.rested.map(|rested| rested.saturating_add(dt));
        if self.rested.is_some_and(|rested| rested >= 1_050_000) {
            (self.telling, self.rested) = (None, None);
        }
    }

    fn hear(&mut self, signs: Signs, playing: Option<Cue>) -> Result<(), TestCaseError> {
        if let Some(cue) = signs.begun {
            let waits_for = self.telling.filter(|told| told.takes() || !cue.takes());
            prop_assert_eq!(waits_for, None, "{:?} did not wait", cue);
            (self.telling, self.rested) = (Some(cue), None);
            self.sounds = vec![false];
            self.began += 1;
        }
        self.sounds.push(signs.beeper);
        if let Some(told) = self.telling.filter(|_| playing.is_none() && self.rested.is_none()) {
            prop_assert_eq!(count_pulses(&self.sounds), told.rhythm().pulses(), "{:?} was cut short", told);
            self.rested = Some(0);
        }
        Ok(())
    }
}

proptest! {
    /// Given any changes at any instants, when they come, then nothing panics; a cue that takes begins in its own step
    /// unless another one that takes is playing; only a cue that does not take is cut short, and only by one that
    /// takes; a cue that begins is always of the newest change; and no change has two cues.
    #[test]
    fn any_changes_at_any_time_keep_who_comes_first(
        changes in prop::collection::vec((any_cue(), prop_oneof![0u32..40_000, 0u32..3_000_000, any::<u32>()]), 1..60)
    ) {
        let rules = checked(&with!(CueRules::new(), offer: CueRule::of(Cue::Offer.rhythm())));
        let (mut cues, mut listener) = (Cues::new(rules), Listener::default());
        let (mut now, mut told, mut newest) = (0u32, Told::START, None);
        for &(cue, wait) in &changes {
            if cue == Cue::Offer && told.pilot != Told::START.pilot {
                continue; // only the instructor has something to offer
            }
            told = Told::change(cue);
            newest = if cue == Cue::Offer { newest } else { Some(cue) };
            // One step of any length, and then some of 20 ms.
            for step in 0..=(wait / 20_000).min(300) {
                let dt = if step == 0 { wait } else { 20_000 };
                now = now.wrapping_add(dt);
                listener.pass(dt);
                let free = !listener.telling.is_some_and(Cue::takes);
                let signs = cues.step(&told.outcome(Instant::from_ticks(now)));
                prop_assert!(signs.begun.is_none_or(|begun| Some(begun) == newest || begun == Cue::Offer));
                if step == 0 && cue.takes() && free {
                    prop_assert!(signs.begun == Some(cue) && signs.beeper);
                }
                listener.hear(signs, cues.playing())?;
                told = told.goes_on();
            }
        }
        prop_assert!(listener.began <= changes.len(), "{} cues for {} changes", listener.began, changes.len());
    }
}
