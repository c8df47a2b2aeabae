//! The decisions: what the engine said in every step, as a table beside the trace, one row per row.
//!
//! | column | what | values |
//! |---|---|---|
//! | `time_us` | when the step was | as in the trace |
//! | `authority` | who flies | `nobody`, `instructor`, `student` |
//! | `student` | the axes that the student flies | axis numbers from 0, joined by `+`; empty: none |
//! | `held` | the axes that the instructor holds (T1) | the same |
//! | `cause` | why who flies changed in this step (A1) | a word of the first list; empty: no change |
//! | `waiting` | what the student's axes wait for first (A2) | a word of the second list; empty: nothing |
//! | `<axis>` | the output, a column per axis | whole numbers, 16384 is full travel |
//!
//! Causes: `stall`, `instructor-lost`, `instructor-back`, `instructor-now`, `bad-frame`, `switch-off`, `link-lost`,
//! `stick:<number>`, `latch`, `handed-back`.
//!
//! Waits: `instructor-signal`, `switch`, `arming`, `settling:<us left>`, `latch`, `student-link:<us left>`,
//! `held:<number>`, `dwell:<us left>`, `gate:<number>`.
//!
//! `<axis>` is the name of an axis, `<number>` its place in the order of the columns, from 0.

use std::fmt;
use std::io::{self, Write};

use handback::{Authority, AxisSet, Cause, Outcome, Waiting};

use crate::error::Fault;
use crate::output::Output;

/// The columns that come before those of the axes; no axis may be called like one of them.
pub(crate) const COLUMNS: [&str; 6] = ["time_us", "authority", "student", "held", "cause", "waiting"];

/// A table of decisions being written.
pub(crate) struct DecisionsWriter {
    out: Output,
}

impl DecisionsWriter {
    /// Writes the header; `names` are those of the axes, axis 0 first.
    pub(crate) fn new(out: Output, names: &[String]) -> Result<Self, Fault> {
        let mut writer = Self { out };
        writer.header(names).map_err(|why| writer.out.fault(why))?;
        Ok(writer)
    }

    /// Writes what the step at `time_us` said.
    pub(crate) fn write<const N: usize>(&mut self, time_us: u64, outcome: &Outcome<N>) -> Result<(), Fault> {
        self.row(time_us, outcome).map_err(|why| self.out.fault(why))
    }

    /// The file, for its commit.
    pub(crate) fn into_output(self) -> Output {
        self.out
    }

    fn header(&mut self, names: &[String]) -> io::Result<()> {
        write!(self.out, "{}", COLUMNS.join(","))?;
        names.iter().try_for_each(|name| write!(self.out, ",{name}"))?;
        writeln!(self.out)
    }

    fn row<const N: usize>(&mut self, time_us: u64, outcome: &Outcome<N>) -> io::Result<()> {
        let authority = match outcome.authority {
            Authority::Nobody => "nobody",
            Authority::Instructor => "instructor",
            Authority::Student(_) => "student",
        };
        let student = Axes(outcome.authority.student());
        let held = Axes(outcome.held);
        write!(self.out, "{time_us},{authority},{student},{held},")?;
        if let Some(event) = outcome.event {
            write!(self.out, "{}", CauseWord(event.cause))?;
        }
        write!(self.out, ",")?;
        if let Some(waiting) = outcome.waiting {
            write!(self.out, "{}", WaitingWord(waiting))?;
        }
        for axis in outcome.output.axes() {
            write!(self.out, ",{}", axis.to_bits())?;
        }
        writeln!(self.out)
    }
}

struct Axes(AxisSet);

impl fmt::Display for Axes {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, axis) in self.0.iter().enumerate() {
            write!(f, "{}{axis}", if place == 0 { "" } else { "+" })?;
        }
        Ok(())
    }
}

struct CauseWord(Cause);

impl fmt::Display for CauseWord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.0 {
            Cause::Stall => "stall",
            Cause::InstructorLost => "instructor-lost",
            Cause::InstructorBack => "instructor-back",
            Cause::InstructorNow => "instructor-now",
            Cause::BadFrame => "bad-frame",
            Cause::SwitchOff => "switch-off",
            Cause::LinkLost => "link-lost",
            Cause::Stick(axis) => return write!(f, "stick:{axis}"),
            Cause::Latch => "latch",
            Cause::HandedBack => "handed-back",
        })
    }
}

struct WaitingWord(Waiting);

impl fmt::Display for WaitingWord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 {
            Waiting::InstructorSignal => f.write_str("instructor-signal"),
            Waiting::Switch => f.write_str("switch"),
            Waiting::Arming => f.write_str("arming"),
            Waiting::Settling { left } => write!(f, "settling:{}", left.as_ticks()),
            Waiting::Latch => f.write_str("latch"),
            Waiting::StudentLink { left } => write!(f, "student-link:{}", left.as_ticks()),
            Waiting::Held(axis) => write!(f, "held:{axis}"),
            Waiting::Dwell { left } => write!(f, "dwell:{}", left.as_ticks()),
            Waiting::Gate(axis) => write!(f, "gate:{axis}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use handback::{Deflection, Duration, Event, Frame, Instant, Link, Reception};

    use super::*;
    use crate::output::Outputs;

    #[test]
    fn a_step_is_one_row_of_words_and_whole_numbers() {
        let at = Instant::from_ticks(7);
        let to = Authority::Student(AxisSet::of(&[0, 2]));
        let outcome = Outcome {
            at,
            output: Frame::new([Deflection::FULL, Deflection::CENTRE, Deflection::from_bits(-3)]),
            authority: to,
            event: Some(Event { at, from: Authority::Instructor, to, cause: Cause::Stick(1) }),
            waiting: Some(Waiting::Dwell { left: Duration::from_ticks(299_999) }),
            held: AxisSet::of(&[1]),
            pickup: AxisSet::EMPTY,
            stick: Frame::CENTRE,
            instructor: Reception::Good,
            student: Reception::Nothing,
            instructor_lost: false,
            link: Link::Good,
            stalled: false,
        };
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("decisions.csv");
        let output = Outputs::beside(&[]).create(&path).unwrap();
        let mut writer = DecisionsWriter::new(output, &["a", "b", "c"].map(str::to_owned)).unwrap();
        writer.write(4_294_967_303, &outcome).unwrap();
        writer.write(4_294_967_304, &Outcome { event: None, waiting: None, ..outcome }).unwrap();
        writer.into_output().commit().unwrap();
        assert_eq!(
            std::fs::read_to_string(&path).unwrap(),
            "time_us,authority,student,held,cause,waiting,a,b,c\n\
             4294967303,student,0+2,1,stick:1,dwell:299999,16384,0,-3\n\
             4294967304,student,0+2,1,,,16384,0,-3\n"
        );
    }
}
