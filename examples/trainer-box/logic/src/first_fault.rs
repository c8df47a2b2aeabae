//! The four most frequent faults of a first power-up, found by the box itself.

use handback::ppm::DecoderSetup;
use handback::ppm::Edge;
use handback::{Instant, Reception};

use crate::ear::{Ear, Format};
use crate::recording::passed;
use crate::trainer_box::Side;

/// The time after the start without a train that can be read, in microseconds. Own choice.
const NO_TRAIN: u32 = 5_000_000;

/// This many frames in a row are out of range before it is a fault: half a second at 50 frames a second. Own choice.
const BAD_FRAMES: u8 = 25;

/// Frames that are out of range are no fault any more after this time without a frame, in microseconds.
const FRESH: u32 = 1_000_000;

/// A fault of a transmitter, for which [`Notice`](crate::Notice) has a sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct FirstFault {
    /// Whose transmitter.
    pub side: Side,
    /// The fault.
    pub kind: FirstFaultKind,
}

/// The kind of a [`FirstFault`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
pub enum FirstFaultKind {
    /// For five seconds since the start, no train has come that can be read. The student's counts only while the lesson
    /// switch is on.
    NoTrain,
    /// The separators of the train have the other level than those of the plan.
    WrongLevel,
    /// The train has another number of channels than that of the plan.
    WrongCount,
    /// Half a second of frames, up to now, in which a stick was out of range.
    OutOfRange,
}

/// Watches the line of one transmitter. Level and number of channels are looked for until the first frame that the plan
/// can read, so that a flight costs nothing.
#[derive(Clone, Debug)]
pub(crate) struct Watch {
    plan: Format,
    started: Instant,
    /// Whether the time for a first train is over.
    waited: bool,
    ear: Option<Ear>,
    /// The number of frames out of range in a row, and the time of the last.
    bad: u8,
    last_bad: Instant,
}

impl Watch {
    pub(crate) fn new(setup: &DecoderSetup, channels: u8, now: Instant) -> Self {
        let plan = Format { separators: setup.separators, channels };
        Self { plan, started: now, waited: false, ear: Some(Ear::new()), bad: 0, last_bad: now }
    }

    pub(crate) fn edge(&mut self, edge: Edge) {
        if let Some(ear) = &mut self.ear {
            ear.edge(edge);
        }
    }

    pub(crate) fn overrun(&mut self) {
        if let Some(ear) = &mut self.ear {
            ear.overrun();
        }
    }

    /// Looks at the line. `read` says whether a frame of the plan came.
    pub(crate) fn look(&mut self, now: Instant, read: bool) {
        if read {
            self.ear = None;
        }
        if let Some(ear) = &mut self.ear {
            let _ = ear.poll(now); // the widths of its trains do not matter
            self.waited |= passed(self.started, now) >= NO_TRAIN;
        }
        if passed(self.last_bad, now) > FRESH {
            self.bad = 0;
        }
    }

    /// Takes what the engine made of a frame.
    pub(crate) fn judged(&mut self, now: Instant, reception: Reception) {
        match reception {
            Reception::Nothing => {}
            Reception::Good => self.bad = 0,
            Reception::Bad => (self.bad, self.last_bad) = (self.bad.saturating_add(1), now),
        }
    }

    /// The fault; `is_missed` says whether a train that does not come is one.
    pub(crate) fn fault(&self, is_missed: bool) -> Option<FirstFaultKind> {
        let Some(ear) = &self.ear else {
            return (self.bad >= BAD_FRAMES).then_some(FirstFaultKind::OutOfRange);
        };
        match ear.found() {
            None => (self.waited && is_missed).then_some(FirstFaultKind::NoTrain),
            Some(found) if found.separators != self.plan.separators => Some(FirstFaultKind::WrongLevel),
            Some(found) if found.channels != self.plan.channels => Some(FirstFaultKind::WrongCount),
            Some(_) => None,
        }
    }
}
