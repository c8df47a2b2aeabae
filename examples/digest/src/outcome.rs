//! The outcome of a step as bytes.

use handback::{AxisSet, Cause, Deflection, Event, Frame, Link, Outcome, Pilot, Reception, Waiting};

use crate::crc::Crc32;

/// The axes of the largest frame.
const AXES: usize = 16;

/// The bytes of one step: every number of its outcome, least significant byte first. They do not depend on how the
/// engine stores them.
#[derive(Clone, Debug)]
pub struct OutcomeBytes {
    bytes: [u8; 4 + 2 * AXES + 3 + 12 + 5 + 4 + 4 * AXES + 5],
    len: usize,
}

impl OutcomeBytes {
    /// The bytes of this outcome.
    pub fn of<const N: usize>(outcome: &Outcome<N>) -> Self {
        // All fields are named, so that a new field of an outcome is not left out of the digest.
        let &Outcome {
            at,
            output,
            pilot,
            event,
            waiting,
            held,
            pickup,
            stick,
            instructor,
            student,
            instructor_lost,
            link: student_link,
            late_step,
        } = outcome;
        let mut row = Self { bytes: [0; _], len: 0 };
        row.word(at.as_ticks());
        row.frame(&output);
        row.pilot(pilot);
        match event {
            None => row.byte(0),
            Some(Event { at, from, to, cause }) => {
                row.byte(1);
                row.word(at.as_ticks());
                row.pilot(from);
                row.pilot(to);
                row.byte(u8::try_from(cause.kind()).unwrap_or(u8::MAX) << 4 | stick_of(cause));
            }
        }
        let (kind, detail) = waiting_of(waiting);
        row.byte(kind);
        row.word(detail);
        row.set(held);
        row.set(pickup);
        for offset in pickup.iter().filter_map(|axis| outcome.pickup_offset(axis)) {
            row.deflection(offset);
        }
        row.frame(&stick);
        row.byte(reception(instructor));
        row.byte(reception(student));
        row.byte(u8::from(instructor_lost));
        row.byte(link(student_link));
        row.byte(u8::from(late_step));
        row
    }

    /// Adds the bytes to a checksum.
    pub fn digest(&self, crc: &mut Crc32) {
        crc.add(self.bytes.get(..self.len).unwrap_or_default());
    }

    fn byte(&mut self, byte: u8) {
        if let Some(free) = self.bytes.get_mut(self.len) {
            *free = byte;
            self.len = self.len.saturating_add(1);
        }
    }

    fn set(&mut self, set: AxisSet) {
        set.to_bits().to_le_bytes().into_iter().for_each(|byte| self.byte(byte));
    }

    fn word(&mut self, word: u32) {
        word.to_le_bytes().into_iter().for_each(|byte| self.byte(byte));
    }

    fn frame<const N: usize>(&mut self, frame: &Frame<N>) {
        frame.axes().iter().for_each(|axis| self.deflection(*axis));
    }

    fn deflection(&mut self, deflection: Deflection) {
        deflection.to_bits().to_le_bytes().into_iter().for_each(|byte| self.byte(byte));
    }

    fn pilot(&mut self, pilot: Pilot) {
        self.byte(match pilot {
            Pilot::Nobody => 0,
            Pilot::Instructor => 1,
            Pilot::Student(_) => 2,
        });
        self.set(pilot.student());
    }
}

/// The axis of a cause that has one.
fn stick_of(cause: Cause) -> u8 {
    if let Cause::Stick(axis) = cause { axis } else { 0 }
}

/// The kind of a waiting from 1, and its axis or the time left; 0 for none.
pub fn waiting_of(waiting: Option<Waiting>) -> (u8, u32) {
    match waiting {
        None => (0, 0),
        Some(Waiting::InstructorSignal) => (1, 0),
        Some(Waiting::Switch) => (2, 0),
        Some(Waiting::SwitchOffFirst) => (3, 0),
        Some(Waiting::Settling { left }) => (4, left.as_ticks()),
        Some(Waiting::Latch) => (5, 0),
        Some(Waiting::StudentLink { left }) => (6, left.as_ticks()),
        Some(Waiting::Held(axis)) => (7, axis.into()),
        Some(Waiting::Dwell { left }) => (8, left.as_ticks()),
        Some(Waiting::Gate(axis)) => (9, axis.into()),
    }
}

/// The number of a reception.
pub fn reception(reception: Reception) -> u8 {
    match reception {
        Reception::Nothing => 0,
        Reception::Good => 1,
        Reception::Bad => 2,
    }
}

/// The number of a state of the link.
pub fn link(link: Link) -> u8 {
    match link {
        Link::Lost => 0,
        Link::Qualifying => 1,
        Link::Good => 2,
    }
}
