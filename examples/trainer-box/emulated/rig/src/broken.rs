//! Boxes with deliberate errors, to show that the bench detects them. A careless firmware could have each of these
//! errors.

use handback::{Cause, Event, Instant, Pulse};
use trainer_box::Step;

use crate::command::Hand;
use crate::plan::{AXES, MOST_CHANNELS};
use crate::report::Report;

/// The deliberate error, with the state that it needs.
#[derive(Debug, Default)]
pub struct Breaks {
    how: u8,
    started: Option<Instant>,
    /// Whether the switch was seen on.
    on: bool,
    /// Whether the computer has sent an equals sign.
    told: bool,
    before: Option<Step<AXES, MOST_CHANNELS>>,
    sent: Option<[Pulse; MOST_CHANNELS]>,
    late: Option<Event>,
    steps: u32,
}

/// One bit of one pulse width is wrong in one step.
pub const ONE_BIT: u8 = 1;
/// The lesson switch stays on after it was on once.
pub const SWITCH_STICKS: u8 = 2;
/// The box reads the switch as off for 100 ms after each start, so that it counts as seen off first.
pub const NEEDS_NO_OFF_FIRST: u8 = 3;
/// A takeover by a stick comes one step late, and so does its event.
pub const TAKES_LATE: u8 = 4;
/// Pulses continue while nobody flies.
pub const SENDS_ON: u8 = 5;

/// From one step on, no edge goes to the craft.
pub const FALLS_SILENT: u8 = 6;

/// A byte from the computer turns the lesson switch on.
pub const OBEYS_THE_WIRE: u8 = 7;

/// The step after a start in which the one bit is wrong, or from which no edge goes out.
const WRONG_STEP: u32 = 1_000;

impl Breaks {
    pub(crate) const fn begin(&mut self, how: u8) {
        self.how = how;
    }

    pub(crate) fn receive(&mut self, byte: u8) {
        self.told |= byte == b'=';
    }

    pub(crate) fn hand(&mut self, now: Instant, hand: Hand) -> Hand {
        let started = *self.started.get_or_insert(now);
        self.on |= hand.lesson_switch;
        let lesson_switch = match self.how {
            SWITCH_STICKS => self.on,
            OBEYS_THE_WIRE => hand.lesson_switch || self.told,
            NEEDS_NO_OFF_FIRST => hand.lesson_switch && now.as_ticks().wrapping_sub(started.as_ticks()) > 100_000,
            _ => hand.lesson_switch,
        };
        Hand { lesson_switch, ..hand }
    }

    pub(crate) fn report(&mut self, mut report: Report) -> Report {
        self.steps = self.steps.wrapping_add(1);
        let Some(step) = &mut report.step else { return report };
        let right = step.said;
        let said = &mut step.said;
        if let Some(pulses) = right.pulses {
            self.sent = Some(pulses);
        }
        match (self.how, self.before) {
            (ONE_BIT, _) if self.steps == WRONG_STEP => {
                if let Some([first, ..]) = &mut said.pulses {
                    *first = Pulse::from_bits(first.to_bits() ^ 1);
                }
            }
            (TAKES_LATE, Some(before))
                if right.outcome.event.is_some_and(|event| matches!(event.cause, Cause::Stick(_))) =>
            {
                self.late = said.outcome.event.take();
                (said.outcome.pilot, said.outcome.output) = (before.outcome.pilot, before.outcome.output);
                (said.pulses, said.signs.student_flies) = (before.pulses, before.signs.student_flies);
            }
            (TAKES_LATE, _) => said.outcome.event = said.outcome.event.or(self.late.take()),
            (FALLS_SILENT, _) if self.steps >= WRONG_STEP => report.edges.clear(),
            (SENDS_ON, _) => said.pulses = self.sent,
            _ => {}
        }
        self.before = Some(right);
        report
    }
}
