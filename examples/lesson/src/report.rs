//! The report: what a lesson came to, for people to read. Plain text, at most 100 columns.

mod sections;

use std::io::{self, Write};

pub(crate) use sections::{counted, thousands};

use crate::tally::Tally;

/// The widest a line gets.
pub(crate) const COLUMNS: usize = 100;
/// Where the values begin.
const LABEL: usize = 30;

/// Prints the report of a lesson flown under its own policy, beside what the same lesson gives with the plain
/// threshold: no hysteresis and no dwell.
pub(crate) fn print<const N: usize>(out: &mut impl Write, shipped: &Tally<N>, plain: &Tally<N>) -> io::Result<()> {
    let mut page = Page { out };
    sections::timeline(&mut page, shipped)?;
    sections::time(&mut page, shipped)?;
    sections::rests(&mut page, shipped)?;
    sections::takeovers(&mut page, shipped)?;
    sections::steadiness(&mut page, shipped, plain)?;
    sections::latency(&mut page, shipped)?;
    sections::pickups(&mut page, shipped)?;
    sections::height(&mut page, shipped)?;
    sections::signals(&mut page, shipped)?;
    sections::agreement(&mut page, shipped)
}

/// Where the lines go; keeps them aligned and within the columns.
pub(crate) struct Page<'a, W> {
    pub(crate) out: &'a mut W,
}

impl<W: Write> Page<'_, W> {
    /// A heading, after an empty line.
    pub(crate) fn heading(&mut self, words: &str) -> io::Result<()> {
        self.line("")?;
        self.line(words)
    }

    /// A label and its value.
    pub(crate) fn row(&mut self, label: &str, value: &str) -> io::Result<()> {
        self.line(&format!("  {label:LABEL$}{value}"))
    }

    /// A label and several values, each in its own column.
    fn columns(&mut self, label: &str, values: &[String]) -> io::Result<()> {
        let values: Vec<String> = values.iter().map(|value| format!("{value:>18}")).collect();
        self.line(&format!("  {label:LABEL$}{}", values.concat()))
    }

    /// A line, cut where it would be too wide.
    pub(crate) fn line(&mut self, words: &str) -> io::Result<()> {
        if words.chars().count() <= COLUMNS {
            writeln!(self.out, "{}", words.trim_end())
        } else {
            let kept: String = words.chars().take(COLUMNS - 3).collect();
            writeln!(self.out, "{kept}...")
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::{Differs, Lesson};
    use handback::{AxisSet, Cause, Deflection};

    fn printed(shipped: &Lesson, plain: &Lesson) -> String {
        let mut out = Vec::new();
        print(&mut out, &shipped.tally, &plain.tally).unwrap();
        String::from_utf8(out).unwrap()
    }

    /// Two rescues, the first of them with the truth known, and a switch turned off.
    fn small() -> Lesson {
        let mut lesson = Lesson::new();
        lesson.meant = Some(false);
        lesson.height_m = 40.0;
        lesson.fly(0, 980).hand_back_at(1000).fly(1020, 7980);
        lesson.meant = Some(true);
        lesson.reason = "too much bank";
        lesson.mistake_m = Some(38.0);
        lesson.height_m = 35.5;
        lesson.stick(0, 24).take_over_at(8000, Cause::Stick(0)).fly(8020, 9000);
        lesson.meant = Some(false);
        lesson.mistake_m = None;
        lesson.reason = "";
        lesson.stick(0, 0).fly(9020, 9300).hand_back_at(9320).fly(9340, 12_000);
        lesson.take_over_at(12_020, Cause::SwitchOff).fly(12_040, 13_000);
        lesson
    }

    #[test]
    fn a_small_lesson_is_reported_as_written_here() {
        let mut plain = small();
        plain.hand_back_at(13_100).stick(1, 3).take_over_at(13_140, Cause::Stick(1));
        let expected = include_str!("report/small.txt");
        let printed = printed(&small(), &plain);
        assert!(printed == expected, "expected:\n{expected}\nprinted:\n{printed}");
    }

    #[test]
    fn a_difference_from_the_reference_is_said_loudly() {
        let mut lesson = small();
        lesson.differs = Differs { decision: true, output: true };
        lesson.fly(13_020, 13_020);
        let printed = printed(&lesson, &small());
        assert!(printed.contains("*** THE ENGINE AND ITS REFERENCE DISAGREE ***"), "{printed}");
        assert!(printed.contains("1 decision and 1 output differ"), "{printed}");
        assert!(printed.contains("00:13.0"), "{printed}");
    }

    #[test]
    fn waits_for_pickup_are_counted_with_their_lengths_and_ends() {
        let mut lesson = Lesson::new();
        for (start, ms) in [(0, 300), (4000, 500), (8000, 700)] {
            lesson.hand_back_at(start).fly(start + 20, start + 980).pickup = AxisSet::of(&[2]);
            lesson.take_over_at(start + 1000, Cause::SwitchOff).fly(start + 1020, start + 980 + ms);
            lesson.pickup = AxisSet::EMPTY;
            lesson.fly(start + 1000 + ms, start + 3980);
        }
        lesson.hand_back_at(12_000).pickup = AxisSet::of(&[2]);
        lesson.take_over_at(13_000, Cause::SwitchOff);
        let printed = printed(&lesson, &lesson);
        let expected = "
Outputs kept until the instructor's stick picks them up: throttle
  waits                         4
  lasted                        median 500 ms   worst 700 ms
    picked up by the stick      3
    waiting to the end          1
";
        assert!(printed.contains(expected), "{printed}");
        assert!(!self::printed(&small(), &small()).contains("Outputs kept"));
    }

    #[test]
    fn a_rest_that_does_not_fit_is_hinted_at_with_its_mend() {
        let mut lesson = Lesson::new();
        lesson.stick_at(0, Deflection::from_centipoints(160)).fly(0, 2000);
        let printed = printed(&lesson, &lesson);
        let hint = "  aileron rests at 1.6 points, the policy says 0: set rest_points = 1.6\n";
        assert!(printed.contains("HINT: sticks rest") && printed.contains(hint), "{printed}");
    }

    #[test]
    fn without_the_truth_it_says_not_known() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(20).stick(0, 5).take_over_at(1000, Cause::Stick(0));
        let printed = printed(&lesson, &lesson);
        assert!(printed.contains("aileron stick at +5.0 points"), "{printed}");
        assert_eq!(printed.matches("not known").count(), 3, "{printed}");
    }

    #[test]
    fn a_lesson_of_a_thousand_changes_lists_few_and_counts_the_rest() {
        let mut lesson = Lesson::new();
        for turn in 0..500 {
            lesson.hand_back_at(turn * 2000 + 20).take_over_at(turn * 2000 + 1000, Cause::Stick(0));
        }
        let printed = printed(&lesson, &lesson);
        assert!(printed.contains("960 changes between are left out"), "{printed}");
        assert!(printed.lines().count() < 100);
    }

    #[test]
    fn an_empty_lesson_and_endless_names_stay_within_a_hundred_columns() {
        let empty = Lesson::new();
        let mut long = Lesson::called(&["x".repeat(300), "y".repeat(300), "z".repeat(300)]);
        long.hand_back_at(20).take_over_at(1000, Cause::Stick(0));
        for printed in [printed(&empty, &empty), printed(&long, &long)] {
            assert!(printed.lines().all(|line| line.chars().count() <= COLUMNS), "{printed}");
        }
    }
}
