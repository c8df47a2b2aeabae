//! The outcome of a step, as bytes for the digest and as a line to read.

use core::fmt::{self, Write};

use handback::{AxisSet, Cause, Deflection, Event, Frame, Link, Outcome, Pilot, Reception, Waiting};

use crate::crc::Crc32;

/// The axes of the largest frame.
const AXES: usize = 16;

/// The bytes of one step: every number of its outcome, least significant byte first. They do not depend on how the
/// engine stores them.
pub(crate) struct Row {
    bytes: [u8; 4 + 2 * AXES + 3 + 12 + 5 + 4 + 4 * AXES + 5],
    len: usize,
}

impl Row {
    pub(crate) fn of<const N: usize>(outcome: &Outcome<N>) -> Self {
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

    pub(crate) fn digest(&self, crc: &mut Crc32) {
        crc.add(&self.bytes[..self.len]);
    }

    fn byte(&mut self, byte: u8) {
        self.bytes[self.len] = byte;
        self.len += 1;
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

/// The kind of a waiting from 1, and its axis or the time left.
fn waiting_of(waiting: Option<Waiting>) -> (u8, u32) {
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

pub(crate) fn reception(reception: Reception) -> u8 {
    match reception {
        Reception::Nothing => 0,
        Reception::Good => 1,
        Reception::Bad => 2,
    }
}

pub(crate) fn link(link: Link) -> u8 {
    match link {
        Link::Lost => 0,
        Link::Qualifying => 1,
        Link::Good => 2,
    }
}

/// The index of the kind of waiting, 0 to 8.
pub(crate) fn waiting_kind(waiting: Waiting) -> usize {
    usize::from(waiting_of(Some(waiting)).0) - 1
}

/// Writes one step as a line: the inputs, then the outcome.
pub(crate) fn write_line<const N: usize>(
    out: &mut dyn Write,
    step: u32,
    inputs: &handback::Inputs<'_, N>,
    outcome: &Outcome<N>,
) -> fmt::Result {
    let Outcome { at, output, pilot, event, waiting, held, pickup, stick, instructor, student, .. } = outcome;
    write!(out, "step {step} at {} given", at.as_ticks())?;
    write_frame(out, " i", inputs.instructor)?;
    write_frame(out, " s", inputs.student)?;
    write!(out, " switch {} now {}", u8::from(inputs.lesson_switch), u8::from(inputs.instructor_now))?;
    write_frame(out, " said output", Some(output))?;
    write!(out, " pilot {pilot:?}")?;
    if let Some(Event { at, from, to, cause }) = event {
        write!(out, " event {} {from:?}>{to:?} {cause:?}", at.as_ticks())?;
    }
    let (kind, detail) = waiting_of(*waiting);
    write!(out, " waiting {kind}:{detail} held {:04x} pickup {:04x}", held.to_bits(), pickup.to_bits())?;
    write_frame(out, " stick", Some(stick))?;
    write!(out, " instructor {instructor:?} student {student:?} lost {}", u8::from(outcome.instructor_lost))?;
    writeln!(out, " link {:?} was late {}", outcome.link, u8::from(outcome.late_step))
}

fn write_frame<const N: usize>(out: &mut dyn Write, name: &str, frame: Option<&Frame<N>>) -> fmt::Result {
    write!(out, "{name}")?;
    match frame {
        None => write!(out, " none"),
        Some(frame) => frame
            .axes()
            .iter()
            .enumerate()
            .try_for_each(|(n, axis)| write!(out, "{}{}", if n == 0 { ' ' } else { ',' }, axis.to_bits())),
    }
}
