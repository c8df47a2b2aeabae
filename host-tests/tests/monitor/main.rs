//! The monitor can fail: for each rule an outcome is broken by hand, and that rule is named.

mod signals;
mod sticks;
mod student;
mod telling;

use handback::{AxisSet, Outcome, Pilot};
use handback_host_tests::{Lesson, axes};
use handback_monitor::Broken;

/// All four axes.
const ALL: AxisSet = axes(&[0, 1, 2, 3]);

/// The outcome says that the student flies all four axes.
fn student_has_all(outcome: &mut Outcome<4>) {
    outcome.pilot = Pilot::Student(ALL);
}

/// The outcome says that the instructor flies every axis.
fn instructor_has_all(outcome: &mut Outcome<4>) {
    outcome.pilot = Pilot::Instructor;
}

/// Each of these rules is named.
#[track_caller]
fn names(broken: &Broken, rules: &[&str]) {
    for rule in rules {
        assert!(broken.names(rule), "{rule} is not named: {broken}");
    }
}

/// The next step breaks these rules where the student is said to have all four axes.
#[track_caller]
fn student_may_not(lesson: Lesson<4>, rules: &[&str]) {
    names(&lesson.broken_by(student_has_all), rules);
}
