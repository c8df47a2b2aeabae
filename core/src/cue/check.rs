//! The check of cues: each can be heard, none can be mistaken for another, and no cue that takes the craft can be heard
//! as one that gives it.

use crate::quantity::Duration;

use super::ear::{Span, mistaken};
use super::{Cue, CueError, CueRule, CueRules, Phrase, Rhythm};

/// The shortest pulse or gap, in milliseconds. Own choice: shorter ones are too short beside the delay of a look.
pub(super) const SHORTEST_PULSE: u16 = 40;

/// The longest pulse or gap, in milliseconds. Own choice: a takeover should be announced within that time.
pub(super) const LONGEST_PULSE: u16 = 2_000;

/// The longest phrase, in microseconds. Own choice.
pub(super) const LONGEST_PHRASE: u32 = 5_000_000;

/// The longest rest, in microseconds. Own choice: the next cue waits until the rest is over.
const LONGEST_REST: u32 = 10_000_000;

/// Rules of cues that passed their check, the only type that [`Cues`](super::Cues) accepts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(
    feature = "serde",
    derive(serde::Serialize, serde::Deserialize),
    serde(try_from = "CueRules", into = "CueRules")
)]
pub struct CheckedCueRules {
    rules: CueRules,
}

impl CheckedCueRules {
    /// The rules that were checked.
    pub const fn rules(&self) -> &CueRules {
        &self.rules
    }
}

impl CueRules {
    /// Checks the cues, in `const` too.
    ///
    /// # Errors
    /// The first fault, with the cue, the field and the value.
    ///
    /// ```
    /// use handback::cue::{Cue, CueError, CueRule, CueRules, Rhythm};
    /// let mut rules = CueRules::new();
    /// rules.taken = CueRule::of(Rhythm::of([100, 100, 100, 100, 100])); // short pulses are the student's
    /// let why = rules.check().unwrap_err();
    /// assert_eq!(why, CueError::NotLong { cue: Cue::Taken });
    /// ```
    pub const fn check(self) -> Result<CheckedCueRules, CueError> {
        if let Err(why) = self.check_each() {
            return Err(why);
        }
        if let Err(why) = self.check_apart() {
            return Err(why);
        }
        if let Err(why) = self.check_times() {
            return Err(why);
        }
        Ok(CheckedCueRules { rules: self })
    }

    /// Checks each cue by itself.
    const fn check_each(&self) -> Result<(), CueError> {
        let all = Cue::ALL;
        let mut left = all.as_slice();
        while let [cue, rest @ ..] = left {
            let rule = self.rule(*cue);
            if let Err(why) = rule.rhythm.check(*cue) {
                return Err(why);
            }
            if cue.takes() && rule.is_mute() {
                return Err(CueError::Mute { cue: *cue });
            }
            if let Some(Phrase { lasts, .. }) = rule.phrase
                && lasts.as_ticks() > LONGEST_PHRASE
            {
                return Err(CueError::Phrase { cue: *cue, lasts });
            }
            left = rest;
        }
        Ok(())
    }

    /// Checks that no cue can be mistaken for another, and that only cues that take the craft have long pulses.
    const fn check_apart(&self) -> Result<(), CueError> {
        let others = [&self.handed_back.rhythm, &self.both.rhythm, &self.offer.rhythm];
        let short = longest_pulse(&others);
        let all = Cue::ALL;
        let mut left = all.as_slice();
        while let [cue, rest @ ..] = left {
            let rule = self.rule(*cue);
            if cue.takes() && !rule.rhythm.begins_long(short) {
                return Err(CueError::NotLong { cue: *cue });
            }
            let mut after = rest;
            while let [other, more @ ..] = after {
                if let Err(why) = rule.check_against(*cue, self.rule(*other), *other) {
                    return Err(why);
                }
                after = more;
            }
            left = rest;
        }
        Ok(())
    }

    /// Checks the rest and the repeats.
    const fn check_times(&self) -> Result<(), CueError> {
        let rest_us = self.rest.as_ticks();
        let mut needed = 0;
        let all = Cue::ALL;
        let mut left = all.as_slice();
        while let [cue, rest @ ..] = left {
            let silence = self.rule(*cue).rhythm.longest_silence();
            // A third longer, rounded up to the millisecond.
            let longer = silence.most.saturating_mul(4).div_ceil(3).saturating_mul(1_000);
            if longer > needed {
                needed = longer;
            }
            left = rest;
        }
        if rest_us < needed || rest_us > LONGEST_REST {
            return Err(CueError::Rest { rest: self.rest, needed: Duration::from_ticks(needed) });
        }
        let mut left = all.as_slice();
        while let [cue, rest @ ..] = left {
            let rule = self.rule(*cue);
            let (every, needed) = (rule.every, rule.lasts().as_ticks().saturating_add(rest_us));
            if !every.is_zero() && (every.as_ticks() < needed || every.as_ticks() > 1 << 31) {
                return Err(CueError::Every { cue: *cue, every, needed: Duration::from_ticks(needed) });
            }
            left = rest;
        }
        Ok(())
    }
}

impl CueRule {
    const fn check_against(&self, cue: Cue, rule: &Self, other: Cue) -> Result<(), CueError> {
        // A rhythm has no pulse or at least two, so that none is like silence, even with one pulse lost.
        if self.rhythm.pulses() > 0 && mistaken(&self.rhythm, &rule.rhythm) {
            return Err(CueError::Alike { cue, other });
        }
        if let (Some(phrase), Some(that)) = (self.phrase, rule.phrase)
            && phrase.slot == that.slot
            && cue.takes()
            && !other.takes()
        {
            return Err(CueError::SamePhrase { cue, other, slot: phrase.slot });
        }
        Ok(())
    }
}

impl Rhythm {
    const fn check(&self, cue: Cue) -> Result<(), CueError> {
        let mut left = self.lengths();
        let mut place = 0u8;
        while let [ms, rest @ ..] = left {
            if *ms < SHORTEST_PULSE || *ms > LONGEST_PULSE {
                return Err(CueError::Length { cue, place, ms: *ms });
            }
            left = rest;
            place = place.saturating_add(1);
        }
        match self.lengths() {
            [_] => Err(CueError::SinglePulse { cue }),
            lengths if lengths.len() & 1 == 0 && !lengths.is_empty() => Err(CueError::EndsInGap { cue }),
            _ => Ok(()),
        }
    }

    /// Whether the first pulse and at least one other are a third longer than `short`, or there is no pulse.
    const fn begins_long(&self, short: Span) -> bool {
        let [first, rest @ ..] = self.lengths() else {
            return true;
        };
        let (mut second, mut left) = (false, rest);
        while let [_, pulse, rest @ ..] = left {
            second |= Span::of(*pulse).outlasts(short);
            left = rest;
        }
        second && Span::of(*first).outlasts(short)
    }

    /// The longest silence within the rhythm if any one pulse may be lost.
    const fn longest_silence(&self) -> Span {
        let (mut longest, mut left) = (Span::of(0), self.lengths());
        while let [_, gap, rest @ ..] = left {
            let silence = match rest {
                [pulse, after, ..] => Span::of(*gap).and(*pulse).and(*after),
                _ => Span::of(*gap),
            };
            if silence.most > longest.most {
                longest = silence;
            }
            left = rest;
        }
        longest
    }
}

/// The longest pulse of these rhythms.
const fn longest_pulse(rhythms: &[&Rhythm]) -> Span {
    let (mut longest, mut left) = (Span::of(0), rhythms);
    while let [rhythm, rest @ ..] = left {
        let mut lengths = rhythm.lengths();
        while let [pulse, after @ ..] = lengths {
            if Span::of(*pulse).most > longest.most {
                longest = Span::of(*pulse);
            }
            lengths = match after {
                [_, next @ ..] => next,
                [] => after,
            };
        }
        left = rest;
    }
    longest
}

impl TryFrom<CueRules> for CheckedCueRules {
    type Error = CueError;

    fn try_from(rules: CueRules) -> Result<Self, CueError> {
        rules.check()
    }
}

impl From<CheckedCueRules> for CueRules {
    fn from(checked: CheckedCueRules) -> Self {
        checked.rules
    }
}
