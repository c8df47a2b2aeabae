//! Every sentence of the report, each caused for its own reason, beside a lesson that differs in that alone.
//!
//! | section | sentences | test |
//! |---|---|---|
//! | timeline | nobody, instructor, student flies at the start; no step; changes left out; a change and its cause | `timeline`, `timeline::words` |
//! | time | steps; turns or none | `figures` |
//! | hint | the rest of a stick | `sticks` |
//! | takeovers | by each cause; with each axis; losses without one | `figures` |
//! | steadiness | both policies; not known | `figures` |
//! | latency | frames, or no movement; shorter than `confirm`; never followed; place of measurement | `sticks` |
//! | pickups | waits; their lengths; each end; still waiting | `sticks` |
//! | height | metres, no rescue, not known; not handed back | `figures` |
//! | signals | frames; losses of either side; a link that was not good yet; late steps | `proof` |
//! | agreement | agree; each kind of difference | `proof`, `flown` with the engine itself |

mod figures;
mod flown;
mod proof;
mod sticks;
mod timeline;

use super::*;
use crate::tally::Lesson;
use handback::Cause;

fn printed(shipped: &Lesson, plain: &Lesson) -> String {
    let mut out = Vec::new();
    print(&mut out, &shipped.tally, &plain.tally).unwrap();
    String::from_utf8(out).unwrap()
}

/// The report of a lesson compared with itself.
fn said(lesson: &Lesson) -> String {
    printed(lesson, lesson)
}

/// The first report has this sentence, the second does not.
#[track_caller]
fn only_the_first_says(sentence: &str, with: &Lesson, without: &Lesson) {
    let (with, without) = (said(with), said(without));
    assert!(with.contains(sentence), "{sentence:?} is missing in:\n{with}");
    assert!(!without.contains(sentence), "{sentence:?} is said in:\n{without}");
}

/// A row of the report: its label, and its value at the column of the values.
fn row(label: &str, value: &str) -> String {
    format!("\n  {label:LABEL$}{value}\n")
}

/// A lesson after its first step; the instructor flies.
fn begun() -> Lesson {
    let mut lesson = Lesson::new();
    lesson.fly(0, 0);
    lesson
}

/// Two rescues, the truth known for the first, and a switch turned off.
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
    let expected = include_str!("small.txt");
    let printed = printed(&small(), &plain);
    assert!(printed == expected, "expected:\n{expected}\nprinted:\n{printed}");
}

#[test]
fn no_lesson_and_endless_names_stay_within_100_columns() {
    let empty = Lesson::new();
    let mut long = Lesson::called(&["x".repeat(300), "y".repeat(300), "z".repeat(300)]);
    long.fly(0, 0).hand_back_at(20).take_over_at(1000, Cause::Stick(0));
    for printed in [said(&empty), said(&long)] {
        assert!(printed.lines().all(|line| line.chars().count() <= COLUMNS), "{printed}");
    }
    // What does not fit is marked as cut off, and a line that fits to the last column is whole.
    assert!(said(&long).contains("xxx...\n"));
    let fits = |name: usize| {
        let mut lesson = Lesson::called(&["x".repeat(name), "y".to_owned(), "z".to_owned()]);
        lesson.fly(0, 0).hand_back_at(20).stick(0, 5).take_over_at(1000, Cause::Stick(0));
        !said(&lesson).contains("...\n")
    };
    let around = COLUMNS - "   00:01.0  taken over:  stick at +5.0 points".len();
    assert!(fits(around) && !fits(around + 1));
}
