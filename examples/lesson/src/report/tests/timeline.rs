//! Tests the pilot at the start and the list of changes.

use handback::{AxisSet, Cause, Pilot, Reception};

use super::{begun, only_the_first_says, said};
use crate::tally::Lesson;

#[test]
fn the_start_is_whoever_flies_in_the_first_step() {
    let start = |pilot: Pilot| {
        let mut lesson = Lesson::new();
        match pilot {
            Pilot::Nobody => {
                lesson.reception.0 = Reception::Nothing;
                lesson.nobody().fly(0, 100);
            }
            Pilot::Instructor => _ = lesson.fly(0, 100),
            // No engine begins like this; the report says it all the same.
            Pilot::Student(_) => {
                lesson.swallow_event = true;
                lesson.hand_back_at(0);
            }
        }
        lesson
    };
    let [nobody, instructor, student] =
        [Pilot::Nobody, Pilot::Instructor, Pilot::Student(AxisSet::first(3))].map(start);
    only_the_first_says("00:00.0  nobody flies at the start\n", &nobody, &instructor);
    only_the_first_says("00:00.0  instructor flies at the start\n", &instructor, &student);
    only_the_first_says("00:00.0  student flies at the start\n", &student, &nobody);
}

#[test]
fn without_a_step_it_says_so() {
    only_the_first_says("\n  no step was flown\n", &Lesson::new(), &begun());
}

#[test]
fn of_more_than_forty_changes_those_between_are_counted() {
    let changes = |count: u64| {
        let mut lesson = begun();
        for change in 0..count {
            let at = 1000 * (change + 1);
            if change % 2 == 0 {
                lesson.hand_back_at(at)
            } else {
                lesson.take_over_at(at, Cause::SwitchOff)
            };
        }
        said(&lesson)
    };
    assert!(!changes(40).contains("left out"));
    assert!(changes(41).contains("\n       ...  1 change between is left out\n"));
    assert!(changes(42).contains("\n       ...  2 changes between are left out\n"));
    // Of more than a thousand changes, not even all that are left out were kept.
    let many = changes(1100);
    assert!(many.contains("  1,060 changes between are left out\n"), "{many}");
    assert!(many.lines().count() < 100);
}

#[test]
fn a_stick_is_told_with_its_place_where_no_reason_is_known() {
    let taken = |reason: &'static str| {
        let mut lesson = begun();
        (lesson.meant, lesson.reason) = (Some(true), reason);
        lesson.hand_back_at(20).stick(0, 5).take_over_at(1000, Cause::Stick(0));
        lesson
    };
    only_the_first_says("aileron stick at +5.0 points", &taken(""), &taken("too low"));
    only_the_first_says("aileron stick (too low)", &taken("too low"), &taken(""));
}
