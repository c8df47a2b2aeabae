//! A reference ear that works on sound, not on rhythms: what the cues really play, in runs of sound and silence.

use handback::Instant;
use handback::cue::{CueRules, Cues, Rhythm};

use crate::desk::{Told, checked};

/// A run of sound or silence, and its length in microseconds.
pub(crate) type Run = (bool, u32);

/// Turns samples of sound, each with its time, into runs.
pub(crate) fn runs(looks: &[(u32, bool)]) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for pair in looks.windows(2) {
        let [(from, on), (to, _)] = *pair else { unreachable!("windows of two") };
        match runs.last_mut() {
            Some((last, length)) if *last == on => *length += to - from,
            _ => runs.push((on, to - from)),
        }
    }
    runs
}

/// Runs without the silence before and after them.
pub(crate) fn trimmed(mut runs: Vec<Run>) -> Vec<Run> {
    while runs.last().is_some_and(|&(on, _)| !on) {
        runs.pop();
    }
    let silent = runs.iter().take_while(|&&(on, _)| !on).count();
    runs.split_off(silent)
}

/// The runs that are played in five seconds after this change, sampled at these steps, which repeat.
pub(crate) fn played(rules: &CueRules, told: Told, steps: &[u32]) -> Vec<Run> {
    let mut cues = Cues::new(checked(rules));
    let (mut now, mut looks) = (0, Vec::new());
    for step in steps.iter().cycle() {
        let at = Instant::from_ticks(now);
        let signs = if now == 0 { cues.step(&told.outcome(at)) } else { cues.look(at) };
        looks.push((now, signs.beeper));
        now += step;
        if now > 5_000_000 {
            break;
        }
    }
    trimmed(runs(&looks))
}

/// The lengths of the pulses in these runs.
pub(crate) fn pulses(runs: &[Run]) -> Vec<u32> {
    runs.iter().filter(|(on, _)| *on).map(|&(_, length)| length).collect()
}

/// The pulses of these runs, as they are and with each single run inverted: a pulse lost, or a gap filled.
pub(crate) fn with_one_loss(played: &[Run]) -> Vec<Vec<u32>> {
    let mut all = vec![pulses(played)];
    for lost in 0..played.len() {
        let mut faulty: Vec<Run> = Vec::new();
        for (n, &(on, length)) in played.iter().enumerate() {
            let on = on != (n == lost);
            match faulty.last_mut() {
                Some((last, sum)) if *last == on => *sum += length,
                _ => faulty.push((on, length)),
            }
        }
        all.push(pulses(&faulty));
    }
    all
}

/// Whether an ear that does not hear gaps confuses two sounds: the number of pulses is the same, and no pulse differs
/// from its counterpart by a third of the shorter one or more.
pub(crate) fn alike(one: &[u32], other: &[u32]) -> bool {
    let near = |a: u32, b: u32| 3 * a.max(b) < 4 * a.min(b);
    one.len() == other.len() && one.iter().zip(other).all(|(&a, &b)| near(a, b))
}

/// Whether two rhythms may be confused, as the rule defines it: each length up to 25 ms too long, each rhythm with at
/// most one pulse or gap lost.
pub(crate) fn mistaken(one: &Rhythm, other: &Rhythm) -> bool {
    let heard = |rhythm: &Rhythm| -> Vec<Vec<(u32, u32)>> {
        let lengths = rhythm.lengths();
        let places = || lengths.iter().enumerate();
        (0..=lengths.len())
            .map(|lost| {
                let sounds: Vec<(bool, u32)> =
                    places().map(|(n, &ms)| ((n % 2 == 0) != (n == lost), u32::from(ms))).collect();
                let runs = sounds.chunk_by(|a, b| a.0 == b.0).filter(|run| run[0].0);
                runs.map(|run| {
                    let least = run.iter().map(|&(_, ms)| ms).sum();
                    (least, least + 25 * u32::try_from(run.len()).expect("a few"))
                })
                .collect()
            })
            .collect()
    };
    let apart = |a: (u32, u32), b: (u32, u32)| 3 * a.0 >= 4 * b.1 || 3 * b.0 >= 4 * a.1;
    let others = heard(other);
    heard(one).iter().any(|these| {
        others.iter().any(|those| these.len() == those.len() && !these.iter().zip(those).any(|(&a, &b)| apart(a, b)))
    })
}
