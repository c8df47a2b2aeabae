//! The answers of the box, and their form on the wire: two bytes of length, then all fields in a fixed order.

use handback::ppm::{Edge, Level};
use handback::{Instant, Pulse};
use heapless::Vec;
use trainer_box::{Entry, Step};

use crate::plan::{AXES, MOST_CHANNELS};
use crate::reader::Reader;
use crate::writer::Writer;

/// The message of the box when it has started, also after a reset.
pub const READY: [u8; 4] = [2, 0, b'u', b'p'];

/// The message of a board whose power goes off.
pub const OFF: [u8; 4] = [2, 0, b'o', b'f'];

/// The bytes that turn the power of a board on. They are in no row of commands.
pub const POWER_ON: [u8; 6] = *b"uuuuuu";

/// Size of the longest answer, in bytes.
pub(crate) const ROOM: usize = 1024;

/// The most edges of an answer: after a late step of loop and timer, it has the edges of more than a hundred
/// milliseconds.
pub(crate) const EDGES: usize = 128;

/// One answer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Report {
    /// The instant of the command.
    pub at: Instant,
    /// The result of the step; `None` for an answer to the timer alone.
    pub step: Option<Stepped>,
    /// The edges that went to the craft since the last answer.
    pub edges: Vec<Edge, EDGES>,
}

/// The results and effects of a step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stepped {
    /// The result that the box returned.
    pub said: Step<AXES, MOST_CHANNELS>,
    /// The step of the engine, where it took one.
    pub taken: Option<Taken>,
    /// The last train of the student's that the box has read. The instructor's sticks are in the outcome.
    pub student_train: Option<[Pulse; MOST_CHANNELS]>,
    /// Whether the lamp's pin is high.
    pub lamp: bool,
    /// The duty of the beeper's output.
    pub beeper: u16,
    /// Whether the watchdog was fed.
    pub fed: bool,
    /// Number of pin failures so far.
    pub failures: u32,
    /// The oldest entries of the log.
    pub entries: Vec<Entry, 4>,
}

/// A step of the engine.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Taken {
    /// Whether the engine is new.
    pub begins: bool,
    /// The check value of its outcomes.
    pub check: u32,
}

impl Report {
    /// The bytes on the wire, with the length first.
    pub fn to_bytes(&self) -> Vec<u8, ROOM> {
        let mut to = Writer(Vec::new());
        to.u16(0);
        self.write(&mut to);
        let [low, high] = u16::try_from(to.0.len().saturating_sub(2)).unwrap_or(u16::MAX).to_le_bytes();
        if let [first, second, ..] = to.0.as_mut_slice() {
            (*first, *second) = (low, high);
        }
        to.0
    }

    /// The answer in these bytes from the wire, without the length; `None` where they are no answer.
    pub fn from_bytes(bytes: &[u8]) -> Option<Self> {
        let from = &mut Reader(bytes);
        let report = Self::read(from)?;
        from.0.is_empty().then_some(report)
    }

    fn write(&self, to: &mut Writer) {
        to.u32(self.at.as_ticks());
        to.u8(u8::try_from(self.edges.len()).unwrap_or(u8::MAX));
        for edge in &self.edges {
            to.u32(edge.at.as_ticks());
            to.bool(edge.level == Level::High);
        }
        to.bool(self.step.is_some());
        if let Some(step) = &self.step {
            step.write(to);
        }
    }

    fn read(from: &mut Reader<'_>) -> Option<Self> {
        let at = from.instant()?;
        let mut edges = Vec::new();
        for _ in 0..from.u8()? {
            edges.push(Edge { at: from.instant()?, level: Level::from(from.bool()?) }).ok()?;
        }
        let step = if from.bool()? { Some(Stepped::read(from)?) } else { None };
        Some(Self { at, step, edges })
    }
}

impl Stepped {
    fn write(&self, to: &mut Writer) {
        to.outcome(&self.said.outcome);
        to.signs(self.said.signs);
        to.bool(self.taken.is_some());
        if let Some(Taken { begins, check }) = self.taken {
            to.bool(begins);
            to.u32(check);
        }
        to.train(self.said.pulses.as_ref());
        to.train(self.student_train.as_ref());
        to.bool(self.lamp);
        to.u16(self.beeper);
        to.bool(self.fed);
        to.u32(self.failures);
        to.u8(u8::try_from(self.entries.len()).unwrap_or(u8::MAX));
        for entry in &self.entries {
            to.entry(entry);
        }
    }

    fn read(from: &mut Reader<'_>) -> Option<Self> {
        let (outcome, signs) = (from.outcome()?, from.signs()?);
        let taken = if from.bool()? { Some(Taken { begins: from.bool()?, check: from.u32()? }) } else { None };
        let pulses = if from.bool()? { Some(from.train()?) } else { None };
        let student_train = if from.bool()? { Some(from.train()?) } else { None };
        let said = Step { outcome, signs, pulses };
        let (lamp, beeper, fed, failures) = (from.bool()?, from.u16()?, from.bool()?, from.u32()?);
        let mut entries = Vec::new();
        for _ in 0..from.u8()? {
            entries.push(from.entry()?).ok()?;
        }
        Some(Self { said, taken, student_train, lamp, beeper, fed, failures, entries })
    }
}
