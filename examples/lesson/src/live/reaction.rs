//! From a student's mistake to the takeover by stick.

use std::collections::VecDeque;

use handback::{Cause, Outcome, Policy, Reception};

use super::state::{Mistake, Taken};
use crate::count::seconds;

/// A row of frames beyond the threshold is no longer (`confirm`).
const LONGEST_ROW: usize = 255;

/// The mistake that is being made, and the times that its answer is measured with.
#[derive(Clone, Debug, Default)]
pub(super) struct Reaction {
    mistake: Option<Begun>,
    /// The times of the instructor's last good frames, the oldest first.
    frames: VecDeque<u64>,
}

#[derive(Clone, Copy, Debug)]
struct Begun {
    began_us: u64,
    past_limit_us: Option<u64>,
    words: &'static str,
    /// Whether a stick answered it already, and took only some axes.
    answered: bool,
}

/// What is seen of the student in a step.
#[derive(Clone, Copy, Debug)]
pub(super) struct Watched {
    pub(super) time_us: u64,
    /// Whether the student had the craft until this step.
    pub(super) flew: bool,
    /// What the hands of a simulated student do wrong.
    pub(super) slip: Option<&'static str>,
    /// The limit that is passed.
    pub(super) limit: Option<&'static str>,
}

impl Reaction {
    /// Takes in a step; gives the measured times where a stick took the craft from a student who made a mistake.
    pub(super) fn step<const N: usize>(
        &mut self,
        watched: Watched,
        outcome: &Outcome<N>,
        policy: &Policy<N>,
    ) -> Option<Taken> {
        if outcome.instructor == Reception::Good {
            self.frames.push_back(watched.time_us);
            if self.frames.len() > LONGEST_ROW {
                self.frames.pop_front();
            }
        }
        self.watch(watched);
        let taken = match outcome.event.map(|event| event.cause) {
            Some(Cause::Stick(axis)) => {
                let confirm = policy.axes.get(usize::from(axis)).map_or(1, |rule| usize::from(rule.confirm));
                let open = self.mistake.filter(|mistake| !mistake.answered);
                open.map(|mistake| self.taken(mistake, watched.time_us, confirm))
            }
            _ => None,
        };
        if outcome.pilot.student().is_empty() {
            self.mistake = None;
        } else if let Some(mistake) = &mut self.mistake {
            mistake.answered |= taken.is_some();
        }
        taken
    }

    /// The mistake that goes on after this step.
    pub(super) fn mistake(&self) -> Option<Mistake> {
        self.mistake.map(|Begun { began_us, past_limit_us, words, .. }| Mistake {
            began_s: seconds(began_us),
            past_limit_s: past_limit_us.map(seconds),
            words,
        })
    }

    fn watch(&mut self, Watched { time_us, flew, slip, limit }: Watched) {
        let Some(words) = limit.or(slip).filter(|_| flew) else {
            self.mistake = None;
            return;
        };
        let new = Begun { began_us: time_us, past_limit_us: None, words, answered: false };
        let begun = self.mistake.get_or_insert(new);
        if limit.is_some() {
            begun.past_limit_us.get_or_insert(time_us);
            begun.words = words;
        }
    }

    fn taken(&self, mistake: Begun, now_us: u64, confirm: usize) -> Taken {
        // The row of T1 is `confirm` good frames long in the step of the takeover.
        let first_us = self.frames.iter().rev().nth(confirm.saturating_sub(1)).copied().unwrap_or(now_us);
        let since = |from_us: u64| millis(now_us - from_us);
        Taken { after_mistake_ms: since(mistake.began_us), from_stick_ms: since(first_us) }
    }
}

#[allow(clippy::cast_precision_loss)] // 2^53 us are 285 years
fn millis(us: u64) -> f64 {
    us as f64 / 1e3
}
