//! Writes values for the wire.

use handback::ppm::Fault;
use handback::{AxisSet, Cause, Event, Frame, Link, Outcome, Pilot, Pulse, Reception, Waiting, cue};
use heapless::Vec;
use trainer_box::{Entry, Side, What};

use crate::plan::AXES;
use crate::report::ROOM;

/// Writes values one after another. A value without room is left out, so the answer is then invalid.
pub(crate) struct Writer(pub(crate) Vec<u8, ROOM>);

impl Writer {
    pub(crate) fn u8(&mut self, value: u8) {
        let _ = self.0.push(value);
    }

    pub(crate) fn bool(&mut self, value: bool) {
        self.u8(u8::from(value));
    }

    pub(crate) fn u16(&mut self, value: u16) {
        let _ = self.0.extend_from_slice(&value.to_le_bytes());
    }

    pub(crate) fn u32(&mut self, value: u32) {
        let _ = self.0.extend_from_slice(&value.to_le_bytes());
    }

    pub(crate) fn frame(&mut self, frame: Frame<AXES>) {
        for at in frame.axes() {
            self.u16(at.to_bits().cast_unsigned());
        }
    }

    pub(crate) fn train<const M: usize>(&mut self, train: Option<&[Pulse; M]>) {
        self.bool(train.is_some());
        for pulse in train.into_iter().flatten() {
            self.u16(pulse.to_bits());
        }
    }

    pub(crate) fn pilot(&mut self, pilot: Pilot) {
        let (kind, axes) = match pilot {
            Pilot::Nobody => (0, AxisSet::EMPTY),
            Pilot::Instructor => (1, AxisSet::EMPTY),
            Pilot::Student(axes) => (2, axes),
        };
        self.u8(kind);
        self.u16(axes.to_bits());
    }

    pub(crate) fn event(&mut self, event: &Event) {
        self.u32(event.at.as_ticks());
        self.pilot(event.from);
        self.pilot(event.to);
        self.cause(event.cause);
    }

    pub(crate) fn cause(&mut self, cause: Cause) {
        self.u8(u8::try_from(cause.kind()).unwrap_or(u8::MAX));
        self.u8(if let Cause::Stick(axis) = cause { axis } else { 0 });
    }

    pub(crate) fn waiting(&mut self, waiting: Waiting) {
        let (kind, value) = match waiting {
            Waiting::InstructorSignal => (1, 0),
            Waiting::Switch => (2, 0),
            Waiting::SwitchOffFirst => (3, 0),
            Waiting::Settling { left } => (4, left.as_ticks()),
            Waiting::Latch => (5, 0),
            Waiting::StudentLink { left } => (6, left.as_ticks()),
            Waiting::Held(axis) => (7, u32::from(axis)),
            Waiting::Dwell { left } => (8, left.as_ticks()),
            Waiting::Gate(axis) => (9, u32::from(axis)),
        };
        self.u8(kind);
        self.u32(value);
    }

    pub(crate) fn outcome(&mut self, outcome: &Outcome<AXES>) {
        self.u32(outcome.at.as_ticks());
        self.frame(outcome.output);
        self.pilot(outcome.pilot);
        self.bool(outcome.event.is_some());
        if let Some(event) = &outcome.event {
            self.event(event);
        }
        self.bool(outcome.waiting.is_some());
        if let Some(waiting) = outcome.waiting {
            self.waiting(waiting);
        }
        self.u16(outcome.held.to_bits());
        self.u16(outcome.pickup.to_bits());
        self.frame(outcome.stick);
        for reception in [outcome.instructor, outcome.student] {
            self.u8(match reception {
                Reception::Nothing => 0,
                Reception::Good => 1,
                Reception::Bad => 2,
            });
        }
        self.bool(outcome.instructor_lost);
        self.u8(match outcome.link {
            Link::Lost => 0,
            Link::Qualifying => 1,
            Link::Good => 2,
        });
        self.bool(outcome.late_step);
    }

    pub(crate) fn signs(&mut self, signs: cue::Signs) {
        for sign in [signs.lamp, signs.beeper, signs.vibration, signs.student_flies] {
            self.bool(sign);
        }
        self.u8(signs.begun.map_or(u8::MAX, cue::Cue::index));
        self.u16(match signs.voice {
            None => 0,
            Some(cue::Voice::Stop) => 1,
            Some(cue::Voice::Say(slot)) => u16::from(slot) | 1 << 8,
        });
    }

    pub(crate) fn entry(&mut self, entry: &Entry) {
        self.u32(entry.at.as_ticks());
        match entry.what {
            What::Started => self.u8(0),
            What::Changed(event) => {
                self.u8(1);
                self.event(&event);
            }
            What::TrainBegins => self.u8(2),
            What::TrainStops => self.u8(3),
            What::Dropped { side, fault, times } => {
                self.u8(4);
                self.bool(side == Side::Student);
                let place = Fault::ALL.iter().position(|&that| that == fault);
                self.u8(place.and_then(|place| u8::try_from(place).ok()).unwrap_or(u8::MAX));
                self.u32(times);
            }
            What::OutOfRange { side, times } => {
                self.u8(5);
                self.bool(side == Side::Student);
                self.u32(times);
            }
            What::Missing(count) => {
                self.u8(6);
                self.u32(count);
            }
            What::CheckBegins => self.u8(7),
            What::Asks(step) => {
                self.u8(8);
                self.step(step);
            }
            What::Refuses(obstacle) => {
                self.u8(9);
                self.obstacle(obstacle);
            }
            What::Found(finding) => {
                self.u8(10);
                self.finding(finding);
            }
            What::CheckEnds { passed } => {
                self.u8(11);
                self.bool(passed);
            }
        }
    }
}
