//! Cues: their rules, which are checked on the device too, and their steps.

use handback::cue::{CheckedCueRules, Cue, CueError, CueRule, CueRules, Cues, Rhythm};
use handback::{Duration, Instant, Outcome};

use crate::{any, used};

pub(crate) fn call<const N: usize>(outcome: &Outcome<N>) {
    let mut rules = any(CueRules::new()).spoken(any(1), Duration::from_ticks(any(0)));
    rules.taken = any(CueRule::of(any(Rhythm::of(any([100; 5])))));
    let rule = rules.rule(any(Cue::Taken));
    used((rule.is_mute(), rule.rhythm.lasts(), rule.rhythm.lengths(), rule.rhythm.pulses(), any(Cue::Both).rhythm()));
    match any(rules).check() {
        Ok(checked) => play(any(&checked), outcome),
        Err(why) => refused(&any(why)),
    }
}

fn play<const N: usize>(checked: &CheckedCueRules, outcome: &Outcome<N>) {
    let mut cues = any(Cues::new(checked));
    while any(true) {
        used((cues.step(any(outcome)), cues.look(Instant::from_ticks(any(0))), checked.rules()));
        if let (Some(playing), Some(cue)) = (cues.playing(), Cue::of(any(outcome))) {
            used((playing.takes(), playing.name(), cue.index(), cue.wording()));
        }
    }
}

fn refused(why: &CueError) {
    used((why.cue(), why.field(), why.message().as_str()));
}
