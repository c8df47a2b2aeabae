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

/// A number of long pulses, then a number of others. Times are in microseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pattern {
    long: u8,
    long_on: u32,
    count: u8,
    on: u32,
    off: u32,
}

/// The length of a very long pulse, and of the gap between two long ones, in microseconds.
const VERY_LONG: u32 = 1_200_000;
const GAP: u32 = 400_000;

/// The rest after the last long pulse, and after a pattern, in microseconds.
const REST: u32 = 700_000;

impl Pattern {
    /// The pattern for the person whose turn it is.
    pub(crate) const fn turn(step: Action) -> Self {
        let count = match step.side() {
            Some(Side::Student) => 1,
            Some(Side::Instructor) => 2,
            None => 3,
        };
        Self::even(count, 250_000, 250_000)
    }

    /// The pattern for a fault, with its axis where it has one.
    pub(crate) const fn fault(axis: Option<u8>) -> Self {
        let count = match axis {
            Some(axis) => axis.saturating_add(1),
            None => 0,
        };
        Self::after_very_long(1, count)
    }

    /// Very long pulses (1.2 s), then short ones.
    pub const fn after_very_long(very_long: u8, count: u8) -> Self {
        Self::after_long(very_long, VERY_LONG, count)
    }

    /// Pulses of this length in microseconds, then short ones.
    pub const fn after_long(long: u8, long_on: u32, count: u8) -> Self {
        Self { long, long_on, count, on: 150_000, off: 250_000 }
    }

    /// Even pulses; the length of a pulse and of a gap in microseconds.
    pub const fn even(count: u8, on: u32, off: u32) -> Self {
        Self { long: 0, long_on: 0, count, on, off }
    }

    /// The pattern for a check that found nothing.
    pub const PASSED: Self = Self::even(8, 60_000, 60_000);
}

/// The player of patterns.
#[derive(Clone, Debug, Default)]
pub struct Beats {
    pattern: Option<Pattern>,
    /// Whether a pulse is on, and the time until that changes, in microseconds.
    on: bool,
    left: u32,
    /// Whether the last pulse was a long one.
    was_long: bool,
    /// The time since the end of the last pattern, in microseconds.
    idle: u32,
}

impl Beats {
    /// Whether a pattern is played.
    pub const fn is_playing(&self) -> bool {
        self.pattern.is_some()
    }

    /// The time since the end of the last pattern, in microseconds.
    pub const fn idle(&self) -> u32 {
        self.idle
    }

    /// Begins a pattern; one that is played breaks off.
    pub fn begin(&mut self, pattern: Pattern) {
        *self = Self { pattern: Some(pattern), ..Self::default() };
    }

    /// Lets `dt` microseconds pass, and returns whether lamp and beeper are on.
    pub fn pass(&mut self, dt: u32) -> bool {
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
            self.left = match (pattern.long, pattern.count) {
                (1.., _) => GAP,
                (0, 1..) if !self.was_long => pattern.off,
                _ => REST,
            };
        } else if pattern.long > 0 {
            pattern.long = pattern.long.saturating_sub(1);
            (self.on, self.left, self.was_long) = (true, pattern.long_on, true);
        } else if pattern.count > 0 {
            pattern.count = pattern.count.saturating_sub(1);
            (self.on, self.left, self.was_long) = (true, pattern.on, false);
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
