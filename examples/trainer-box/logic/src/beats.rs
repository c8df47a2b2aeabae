//! The patterns of lamp and beeper besides the cues: pulses that people count. They differ from all cues, and no cue is
//! played during the check of the bench.
//!
//! ```text
//! student     ###                                 one: the student does the next thing
//! instructor  ###   ###                           two: the instructor does the next thing
//! both        ###   ###   ###                     three: both put everything at rest, and the check begins
//! fault       ##############     ##  ##  ##       a very long one, then the axis by count: 1 is axis 0
//! passed      # # # # # # # #                     a flutter: the check is over, and nothing was found
//! ```
//!
//! The [notice](crate::Notice) has patterns outside the check.

use handback::preflight::{Action, Side};

/// A number of very long pulses, then a number of others. Times are in microseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Pattern {
    very_long: u8,
    count: u8,
    on: u32,
    off: u32,
}

/// The length of a very long pulse, and of the gap between two of them, in microseconds.
const VERY_LONG: u32 = 1_200_000;
const GAP: u32 = 400_000;

/// The rest after the last very long pulse, and after a pattern, in microseconds.
const REST: u32 = 700_000;

impl Pattern {
    /// The pattern for the person whose turn it is.
    pub(crate) const fn turn(step: Action) -> Self {
        let count = match step.side() {
            Some(Side::Student) => 1,
            Some(Side::Instructor) => 2,
            None => 3,
        };
        Self { very_long: 0, count, on: 250_000, off: 250_000 }
    }

    /// The pattern for a fault, with its axis where it has one.
    pub(crate) const fn fault(axis: Option<u8>) -> Self {
        let count = match axis {
            Some(axis) => axis.saturating_add(1),
            None => 0,
        };
        Self::after_very_long(1, count)
    }

    /// Very long pulses, then short ones.
    pub(crate) const fn after_very_long(very_long: u8, count: u8) -> Self {
        Self { very_long, count, on: 150_000, off: 250_000 }
    }

    /// The pattern for a check that found nothing.
    pub(crate) const PASSED: Self = Self { very_long: 0, count: 8, on: 60_000, off: 60_000 };
}

/// The player of patterns.
#[derive(Clone, Debug, Default)]
pub(crate) struct Beats {
    pattern: Option<Pattern>,
    /// Whether a pulse is on, and the time until that changes, in microseconds.
    on: bool,
    left: u32,
    /// Whether the last pulse was a very long one.
    was_very_long: bool,
    /// The time since the end of the last pattern, in microseconds.
    pub(crate) idle: u32,
}

impl Beats {
    pub(crate) const fn is_playing(&self) -> bool {
        self.pattern.is_some()
    }

    pub(crate) fn begin(&mut self, pattern: Pattern) {
        *self = Self { pattern: Some(pattern), ..Self::default() };
    }

    /// Lets `dt` microseconds pass, and returns whether lamp and beeper are on.
    pub(crate) fn pass(&mut self, dt: u32) -> bool {
        self.left = self.left.saturating_sub(dt);
        let Some(pattern) = &mut self.pattern else {
            self.idle = self.idle.saturating_add(dt);
            return false;
        };
        if self.left > 0 {
            return self.on;
        }
        if self.on {
            self.on = false;
            self.left = match (pattern.very_long, pattern.count) {
                (1.., _) => GAP,
                (0, 1..) if !self.was_very_long => pattern.off,
                _ => REST,
            };
        } else if pattern.very_long > 0 {
            pattern.very_long = pattern.very_long.saturating_sub(1);
            (self.on, self.left, self.was_very_long) = (true, VERY_LONG, true);
        } else if pattern.count > 0 {
            pattern.count = pattern.count.saturating_sub(1);
            (self.on, self.left, self.was_very_long) = (true, pattern.on, false);
        } else {
            self.pattern = None;
        }
        self.on
    }
}

#[cfg(test)]
mod tests {
    use heapless::Vec;

    use super::*;

    /// The lengths of all pulses, in milliseconds.
    fn played(pattern: Pattern) -> Vec<u32, 16> {
        let (mut beats, mut pulses, mut was) = (Beats::default(), Vec::new(), false);
        beats.begin(pattern);
        while beats.is_playing() {
            let on = beats.pass(1_000);
            match pulses.last_mut() {
                Some(last) if on && was => *last = u32::saturating_add(*last, 1),
                _ if on => assert!(pulses.push(1).is_ok()),
                _ => {}
            }
            was = on;
        }
        pulses
    }

    #[test]
    fn turns_faults_and_the_end_are_told_apart_by_length_and_count() {
        let student = Pattern::turn(Action::LinkOff);
        assert_eq!(played(student), [250]);
        assert_eq!(played(Pattern::turn(Action::HandOver)), [250, 250]);
        assert_eq!(played(Pattern::turn(Action::Start)), [250, 250, 250]);
        assert_eq!(played(Pattern::fault(Some(2))), [1_200, 150, 150, 150]);
        assert_eq!(played(Pattern::fault(None)), [1_200]);
        assert_eq!(played(Pattern::after_very_long(2, 1)), [1_200, 1_200, 150]);
        assert_eq!(played(Pattern::PASSED), [60; 8]);
    }
}
