//! The outcome of a step as a line to read.

use core::fmt::{self, Write};

use handback::{Event, Frame, Outcome, Waiting};
use outcome_digest::waiting_of;

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
