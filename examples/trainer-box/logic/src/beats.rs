//! The patterns of lamp and beeper during the check of the bench: even pulses that people count. They differ from all
//! cues, and no cue is played during the check.
//!
//! ```text
//! student     ###                                 one: the student does the next thing
//! instructor  ###   ###                           two: the instructor does the next thing
//! both        ###   ###   ###                     three: both put everything at rest, and the check begins
//! fault       ##############     ##  ##  ##       a very long one, then the axis by count: 1 is axis 0
//! passed      # # # # # # # #                     a flutter: the check is over, and nothing was found
//! ```

use handback::preflight::{Action, Side};

/// A number of pulses, for a fault after a very long one. Times are in microseconds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Pattern {
    /// Whether a very long pulse comes first.
    fault: bool,
    count: u8,
    on: u32,
    off: u32,
}

/// The lengths of the very long pulse, and of the rest after it and after a pattern, in microseconds.
const FAULT: u32 = 1_200_000;
const REST: u32 = 700_000;

impl Pattern {
    /// The pattern for the person whose turn it is.
    pub(crate) const fn turn(step: Action) -> Self {
        let count = match step.side() {
            Some(Side::Student) => 1,
            Some(Side::Instructor) => 2,
            None => 3,
        };
        Self { fault: false, count, on: 250_000, off: 250_000 }
    }

    /// The pattern for a fault, with its axis where it has one.
    pub(crate) const fn fault(axis: Option<u8>) -> Self {
        let count = match axis {
            Some(axis) => axis.saturating_add(1),
            None => 0,
        };
        Self { fault: true, count, on: 150_000, off: 250_000 }
    }

    /// The pattern for a check that found nothing.
    pub(crate) const PASSED: Self = Self { fault: false, count: 8, on: 60_000, off: 60_000 };
}

/// The player of patterns.
#[derive(Clone, Debug, Default)]
pub(crate) struct Beats {
    pattern: Option<Pattern>,
    /// Whether a pulse is on, and the time until that changes, in microseconds.
    on: bool,
    left: u32,
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
            let rests = pattern.fault || pattern.count == 0;
            (self.on, self.left) = (false, if rests { REST } else { pattern.off });
            pattern.fault = false;
        } else if pattern.fault {
            (self.on, self.left) = (true, FAULT);
        } else if pattern.count > 0 {
            pattern.count = pattern.count.saturating_sub(1);
            (self.on, self.left) = (true, pattern.on);
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
        assert_eq!(played(Pattern::PASSED), [60; 8]);
    }
}
