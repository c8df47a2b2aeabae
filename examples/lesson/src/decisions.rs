//! The decisions: what the engine said in every step, as a table beside the trace, one row per row.
//!
//! | column | what | values |
//! |---|---|---|
//! | `time_us` | when the step was | as in the trace |
//! | `flies` | who flies | `nobody`, `instructor`, `student` |
//! | `student` | the axes that the student flies | axis numbers from 0, joined by `+`; empty: none |
//! | `held` | the axes that the instructor holds (T1) | the same |
//! | `cause` | why who flies changed in this step (A1) | a word of the first list; empty: no change |
//! | `waiting` | what the student's axes wait for first (A2) | a word of the second list; empty: nothing |
//! | `<axis>` | the output, a column per axis | whole numbers, 16384 is full travel |
//!
//! Causes: `late-step`, `instructor-lost`, `instructor-back`, `instructor-now`, `bad-frame`, `switch-off`, `link-lost`,
//! `link-frozen`, `stick:<number>`, `latch`, `handed-back`.
//!
//! Waits: `instructor-signal`, `switch`, `switch-off-first`, `settling:<us left>`, `latch`, `student-link:<us left>`,
//! `held:<number>`, `dwell:<us left>`, `gate:<number>`.
//!
//! `<axis>` is the name of an axis, `<number>` its place in the order of the columns, from 0.

use std::io;

use handback::{AxisSet, Cause, Outcome, Pilot, Waiting};

use crate::destination::Destination;
use crate::error::Fault;

/// The columns that come before those of the axes; no axis may be called like one of them.
pub(crate) const COLUMNS: [&str; 6] = ["time_us", "flies", "student", "held", "cause", "waiting"];

/// A table of decisions being written.
pub(crate) struct DecisionsWriter<D> {
    out: D,
    /// The row being put together; its room is used again.
    row: Vec<u8>,
}

impl<D: Destination> DecisionsWriter<D> {
    /// Writes the header; `names` are those of the axes, axis 0 first.
    pub(crate) fn new(out: D, names: &[String]) -> Result<Self, Fault> {
        let mut writer = Self { out, row: Vec::new() };
        writer.header(names).map_err(|why| writer.out.fault(why))?;
        Ok(writer)
    }

    /// Writes what the step at `time_us` said.
    pub(crate) fn write<const N: usize>(&mut self, time_us: u64, outcome: &Outcome<N>) -> Result<(), Fault> {
        self.row(time_us, outcome).map_err(|why| self.out.fault(why))
    }

    /// Where it was written.
    pub(crate) fn into_output(self) -> D {
        self.out
    }

    fn header(&mut self, names: &[String]) -> io::Result<()> {
        write!(self.out, "{}", COLUMNS.join(","))?;
        names.iter().try_for_each(|name| write!(self.out, ",{name}"))?;
        writeln!(self.out)
    }

    fn row<const N: usize>(&mut self, time_us: u64, outcome: &Outcome<N>) -> io::Result<()> {
        let row = &mut self.row;
        row.clear();
        put_number(row, time_us);
        put(row, ",");
        put(row, pilot_word(outcome.pilot));
        put(row, ",");
        put_axes(row, outcome.pilot.student());
        put(row, ",");
        put_axes(row, outcome.held);
        put(row, ",");
        if let Some(event) = outcome.event {
            put_word(row, cause_word(event.cause));
        }
        put(row, ",");
        if let Some(waiting) = outcome.waiting {
            put_word(row, waiting_word(waiting));
        }
        for axis in outcome.output.axes() {
            put(row, ",");
            put_number(row, axis.to_bits());
        }
        put(row, "\n");
        self.out.write_all(row)
    }
}

/// A word of one of the lists, and the number behind its colon.
pub(crate) type Word = (&'static str, Option<u32>);

/// Who flies.
pub(crate) fn pilot_word(pilot: Pilot) -> &'static str {
    match pilot {
        Pilot::Nobody => "nobody",
        Pilot::Instructor => "instructor",
        Pilot::Student(_) => "student",
    }
}

// Formatting with `write!` costs more time than the step that is told.

fn put(row: &mut Vec<u8>, text: &str) {
    row.extend_from_slice(text.as_bytes());
}

fn put_number(row: &mut Vec<u8>, number: impl itoa::Integer) {
    put(row, itoa::Buffer::new().format(number));
}

fn put_axes(row: &mut Vec<u8>, axes: AxisSet) {
    for (place, axis) in axes.iter().enumerate() {
        put(row, if place == 0 { "" } else { "+" });
        put_number(row, axis);
    }
}

fn put_word(row: &mut Vec<u8>, (word, number): Word) {
    put(row, word);
    if let Some(number) = number {
        put(row, ":");
        put_number(row, number);
    }
}

pub(crate) fn cause_word(cause: Cause) -> Word {
    let word = match cause {
        Cause::LateStep => "late-step",
        Cause::InstructorLost => "instructor-lost",
        Cause::InstructorBack => "instructor-back",
        Cause::InstructorNow => "instructor-now",
        Cause::BadFrame => "bad-frame",
        Cause::SwitchOff => "switch-off",
        Cause::LinkLost => "link-lost",
        Cause::LinkFrozen => "link-frozen",
        Cause::Stick(axis) => return ("stick", Some(axis.into())),
        Cause::Latch => "latch",
        Cause::HandedBack => "handed-back",
    };
    (word, None)
}

pub(crate) fn waiting_word(waiting: Waiting) -> Word {
    match waiting {
        Waiting::InstructorSignal => ("instructor-signal", None),
        Waiting::Switch => ("switch", None),
        Waiting::SwitchOffFirst => ("switch-off-first", None),
        Waiting::Settling { left } => ("settling", Some(left.as_ticks())),
        Waiting::Latch => ("latch", None),
        Waiting::StudentLink { left } => ("student-link", Some(left.as_ticks())),
        Waiting::Held(axis) => ("held", Some(axis.into())),
        Waiting::Dwell { left } => ("dwell", Some(left.as_ticks())),
        Waiting::Gate(axis) => ("gate", Some(axis.into())),
    }
}

#[cfg(test)]
mod tests {
    use handback::{Deflection, Duration, Event, Frame, Instant, Link, Reception};

    use super::*;

    #[test]
    fn a_step_is_one_row_of_words_and_whole_numbers() {
        let at = Instant::from_ticks(7);
        let to = Pilot::Student(AxisSet::of(&[0, 2]));
        let outcome = Outcome {
            at,
            output: Frame::new([Deflection::FULL, Deflection::CENTRE, Deflection::from_bits(-3)]),
            pilot: to,
            event: Some(Event { at, from: Pilot::Instructor, to, cause: Cause::Stick(1) }),
            waiting: Some(Waiting::Dwell { left: Duration::from_ticks(299_999) }),
            held: AxisSet::of(&[1]),
            pickup: AxisSet::EMPTY,
            stick: Frame::CENTRE,
            instructor: Reception::Good,
            student: Reception::Nothing,
            instructor_lost: false,
            link: Link::Good,
            late_step: false,
        };
        let mut writer = DecisionsWriter::new(Vec::new(), &["a", "b", "c"].map(str::to_owned)).unwrap();
        writer.write(4_294_967_303, &outcome).unwrap();
        writer.write(4_294_967_304, &Outcome { event: None, waiting: None, ..outcome }).unwrap();
        assert_eq!(
            String::from_utf8(writer.into_output()).unwrap(),
            "time_us,flies,student,held,cause,waiting,a,b,c\n\
             4294967303,student,0+2,1,stick:1,dwell:299999,16384,0,-3\n\
             4294967304,student,0+2,1,,,16384,0,-3\n"
        );
    }

    #[test]
    fn every_cause_and_every_wait_has_the_word_of_its_list() {
        let told = |word: Word| {
            let mut row = Vec::new();
            put_word(&mut row, word);
            String::from_utf8(row).unwrap()
        };
        let left = Duration::from_ticks(u32::MAX);
        for (cause, word) in [
            (Cause::LateStep, "late-step"),
            (Cause::InstructorLost, "instructor-lost"),
            (Cause::InstructorBack, "instructor-back"),
            (Cause::InstructorNow, "instructor-now"),
            (Cause::BadFrame, "bad-frame"),
            (Cause::SwitchOff, "switch-off"),
            (Cause::LinkLost, "link-lost"),
            (Cause::LinkFrozen, "link-frozen"),
            (Cause::Stick(15), "stick:15"),
            (Cause::Latch, "latch"),
            (Cause::HandedBack, "handed-back"),
        ] {
            assert_eq!(told(cause_word(cause)), word);
        }
        for (waiting, word) in [
            (Waiting::InstructorSignal, "instructor-signal"),
            (Waiting::Switch, "switch"),
            (Waiting::SwitchOffFirst, "switch-off-first"),
            (Waiting::Settling { left }, "settling:4294967295"),
            (Waiting::Latch, "latch"),
            (Waiting::StudentLink { left }, "student-link:4294967295"),
            (Waiting::Held(0), "held:0"),
            (Waiting::Dwell { left: Duration::from_ticks(0) }, "dwell:0"),
            (Waiting::Gate(9), "gate:9"),
        ] {
            assert_eq!(told(waiting_word(waiting)), word);
        }
    }
}
