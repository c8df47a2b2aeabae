//! What the box says beside the rows: a line that begins with `#` for each entry of its log, and for what the student
//! waits for.

use handback::ppm::Fault;
use handback::{AxisSet, Cause, Pilot, Waiting};
use trainer_box::{Side, What};

use crate::text::Line;

/// An entry of the log as a line, without its end.
pub(crate) fn entry(what: &What) -> Line {
    let mut line = Line::new();
    match *what {
        What::Started => line.text("# started"),
        What::Changed(event) => {
            line.text("# event ");
            pilot(&mut line, event.from);
            line.byte(b' ');
            pilot(&mut line, event.to);
            line.byte(b' ');
            cause(&mut line, event.cause);
        }
        What::TrainBegins => line.text("# craft train-begins"),
        What::TrainStops => line.text("# craft train-stops"),
        What::Dropped { side: of, fault, times } => {
            line.text("# dropped ");
            line.text(side(of));
            line.byte(b' ');
            line.text(word(fault));
            line.byte(b' ');
            line.number(times);
        }
        What::OutOfRange { side: of, times } => {
            line.text("# out-of-range ");
            line.text(side(of));
            line.byte(b' ');
            line.number(times);
        }
        What::CheckBegins => line.text("# bench begins"),
        What::Asks(action) => {
            line.text("# bench asks: ");
            line.text(action.message().as_str());
        }
        What::Refuses(obstacle) => {
            line.text("# bench cannot begin: ");
            line.text(obstacle.message().as_str());
        }
        What::Found(finding) => {
            line.text("# bench found: ");
            line.text(finding.message().as_str());
        }
        What::CheckEnds { passed } => line.text(if passed { "# bench passed" } else { "# bench failed" }),
        What::Missing(count) => {
            line.text("# log lost ");
            line.number(count);
            line.text(" entries");
        }
    }
    line
}

/// What the student waits for, as a line without its end.
pub(crate) fn waiting(waiting: Option<Waiting>) -> Line {
    let mut line = Line::new();
    line.text("# waiting ");
    let (word, number) = match waiting {
        None => ("nothing", None),
        Some(Waiting::InstructorSignal) => ("instructor-signal", None),
        Some(Waiting::Switch) => ("switch", None),
        Some(Waiting::SwitchOffFirst) => ("switch-off-first", None),
        Some(Waiting::Settling { left }) => ("settling", Some(left.as_ticks())),
        Some(Waiting::Latch) => ("latch", None),
        Some(Waiting::StudentLink { left }) => ("student-link", Some(left.as_ticks())),
        Some(Waiting::Held(axis)) => ("held", Some(axis.into())),
        Some(Waiting::Dwell { left }) => ("dwell", Some(left.as_ticks())),
        Some(Waiting::Gate(axis)) => ("gate", Some(axis.into())),
    };
    line.text(word);
    if let Some(number) = number {
        line.byte(b' ');
        line.number(number);
    }
    line
}

/// The word of a side.
pub(crate) const fn side(side: Side) -> &'static str {
    match side {
        Side::Instructor => "instructor",
        Side::Student => "student",
    }
}

/// The word of a fault in a train.
const fn word(fault: Fault) -> &'static str {
    match fault {
        Fault::LostEdge => "lost-edge",
        Fault::Glitch => "too-short",
        Fault::WideSeparator => "too-long",
        Fault::Width => "width",
        Fault::Count => "count",
        Fault::Uneven => "uneven",
        Fault::NoGap => "no-gap",
        Fault::Polarity => "polarity",
        Fault::Silence => "silence",
        Fault::LateEdge => "late-edge",
        Fault::Overrun => "overrun",
    }
}

/// `nobody`, `instructor`, or `student` with the axes that the student flies, such as `student:0+2`.
fn pilot(line: &mut Line, pilot: Pilot) {
    match pilot {
        Pilot::Nobody => line.text("nobody"),
        Pilot::Instructor => line.text("instructor"),
        Pilot::Student(axes) => {
            line.text("student:");
            set(line, axes);
        }
    }
}

fn set(line: &mut Line, axes: AxisSet) {
    for (place, axis) in axes.iter().enumerate() {
        if place > 0 {
            line.byte(b'+');
        }
        line.number(axis.into());
    }
}

fn cause(line: &mut Line, cause: Cause) {
    line.text(match cause {
        Cause::LateStep => "late-step",
        Cause::InstructorLost => "instructor-lost",
        Cause::InstructorBack => "instructor-back",
        Cause::InstructorNow => "instructor-now",
        Cause::BadFrame => "bad-frame",
        Cause::SwitchOff => "switch-off",
        Cause::LinkLost => "link-lost",
        Cause::LinkFrozen => "link-frozen",
        Cause::Stick(_) => "stick:",
        Cause::Latch => "latch",
        Cause::HandedBack => "handed-back",
    });
    if let Cause::Stick(axis) = cause {
        line.number(axis.into());
    }
}

#[cfg(test)]
mod tests {
    extern crate std;
    use std::string::String;

    use handback::{Duration, Event, Instant};

    use super::*;

    fn said(line: Line) -> String {
        String::from_utf8(line.end().to_vec()).expect("ASCII")
    }

    #[test]
    fn every_entry_is_a_line_that_is_no_row() {
        let student = Pilot::Student(AxisSet::EMPTY.with(0).with(2));
        let event = |from, to, cause| What::Changed(Event { at: Instant::from_ticks(0), from, to, cause });
        let side = Side::Instructor;
        for (what, expected) in [
            (event(student, Pilot::Instructor, Cause::Stick(1)), "# event student:0+2 instructor stick:1\n"),
            (event(Pilot::Instructor, student, Cause::HandedBack), "# event instructor student:0+2 handed-back\n"),
            (event(student, Pilot::Nobody, Cause::LateStep), "# event student:0+2 nobody late-step\n"),
            (What::Dropped { side, fault: Fault::Polarity, times: 4 }, "# dropped instructor polarity 4\n"),
            (What::OutOfRange { side, times: 1 }, "# out-of-range instructor 1\n"),
            (What::Missing(3), "# log lost 3 entries\n"),
        ] {
            assert_eq!(said(entry(&what)), expected);
        }
    }

    #[test]
    fn what_is_waited_for_is_a_word_and_what_is_left() {
        let left = Duration::from_millis(200);
        assert_eq!(said(waiting(Some(Waiting::Settling { left }))), "# waiting settling 200000\n");
        assert_eq!(said(waiting(Some(Waiting::Held(2)))), "# waiting held 2\n");
        assert_eq!(said(waiting(None)), "# waiting nothing\n");
    }

    #[test]
    fn every_fault_has_a_word_of_its_own() {
        for (place, fault) in Fault::ALL.into_iter().enumerate() {
            assert!(Fault::ALL[..place].iter().all(|&other| word(other) != word(fault)));
        }
    }
}
