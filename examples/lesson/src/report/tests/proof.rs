//! The frames of either side, and whether this build can be believed.

use handback::{Cause, Pilot, Reception};

use super::{begun, only_the_first_says, row, said};
use crate::tally::{Differs, Lesson};

/// A row of the section on signals, with the instructor's value and the student's.
fn sides(label: &str, instructor: &str, student: &str) -> String {
    format!("\n{}\n", format!("  {label:30}{instructor:>18}{student:>18}").trim_end())
}

/// The last frames come at 1 s, the next step this many milliseconds later, with or without frames.
fn silent_for(ms: u64, then: (Reception, Reception)) -> Lesson {
    let mut lesson = Lesson::new();
    lesson.fly(0, 1000).reception = then;
    lesson.fly(1000 + ms, 1000 + ms);
    lesson
}

#[test]
fn frames_are_told_by_side_and_by_what_they_were() {
    let said = said(&silent_for(20, (Reception::Bad, Reception::Nothing)));
    for (label, instructor, student) in
        [("good frames", "51", "51"), ("bad frames", "1", "0"), ("steps without a frame", "0", "1")]
    {
        assert!(said.contains(&sides(label, instructor, student)), "{said}");
    }
}

#[test]
fn a_signal_older_than_timeout_was_lost_though_it_is_back() {
    let both = (Reception::Good, Reception::Good);
    let lost = sides("signal lost, times", "1", "1");
    only_the_first_says(&lost, &silent_for(151, both), &silent_for(150, both));
    let silent = (Reception::Nothing, Reception::Good);
    // The loss of one side is not that of the other: here the instructor's frames are missing and the student's come.
    let mut instructors = Lesson::new();
    instructors.fly(0, 1000).reception = silent;
    instructors.fly(1020, 1180);
    only_the_first_says(&sides("signal lost, times", "1", "0"), &instructors, &silent_for(151, silent));
}

#[test]
fn a_link_that_was_lost_while_it_qualified_is_told_apart() {
    // The link qualifies from 0 to 1 s. At 1 s the last frame is 160 ms old, so the link is lost, or 140 ms old, so it
    // is not.
    let last_frame_at = |ms: u64| {
        let mut lesson = Lesson::new();
        lesson.fly(0, ms).reception.1 = Reception::Nothing;
        lesson.fly(ms + 20, 1100);
        lesson
    };
    let early = sides("lost before it was good, times", "", "1");
    only_the_first_says(&early, &last_frame_at(840), &last_frame_at(860));
    only_the_first_says(&sides("signal lost, times", "0", "1"), &last_frame_at(860), &last_frame_at(840));
}

/// Given a step later than `late_step`, when the report is written, then it counts a late clock; a step at the limit
/// is not counted.
#[test]
fn a_late_step_is_told_and_one_at_the_limit_is_not() {
    let both = (Reception::Good, Reception::Good);
    only_the_first_says(&row("late steps", "1"), &silent_for(251, both), &silent_for(250, both));
}

const REFERENCE: &str = "*** THE ENGINE AND ITS REFERENCE DISAGREE ***";
const ANNOUNCEMENTS: &str = "*** THE ENGINE'S ANNOUNCEMENTS ARE WRONG ***";

/// A lesson in which the student has the craft from 20 ms on.
fn handed_back() -> Lesson {
    let mut lesson = begun();
    lesson.hand_back_at(20);
    lesson
}

/// The lines of the last section, without its heading.
fn proof(lesson: &Lesson) -> Vec<String> {
    let said = said(lesson);
    let (_, section) = said.split_once("\nEngine and float reference\n").unwrap();
    section.lines().map(|line| line.trim_start().to_owned()).collect()
}

#[test]
fn a_difference_from_the_reference_is_said_loudly_by_its_kind() {
    for (decisions, outputs) in [(1, 0), (0, 1), (2, 1)] {
        let mut lesson = handed_back();
        for step in 0..2 {
            lesson.differs = Differs { decision: step < decisions, output: step < outputs };
            lesson.fly(13_020 + step * 100, 13_020 + step * 100);
        }
        let differ = |count: u64, what: &str| match count {
            0 => None,
            1 => Some(format!("1 {what} differs, the first at 00:13.0")),
            count => Some(format!("{count} {what}s differ, the first at 00:13.0")),
        };
        let lines = [differ(decisions, "decision"), differ(outputs, "output")];
        let expected: Vec<String> = std::iter::once(REFERENCE.to_owned())
            .chain(lines.into_iter().flatten())
            .chain(["Do not fly with this build.".to_owned()])
            .collect();
        assert_eq!(proof(&lesson), expected);
    }
    assert_eq!(proof(&handed_back()), ["agree in every decision and every output, 2 steps"]);
}

#[test]
fn a_wrong_announcement_is_said_by_its_kind_and_no_disagreement() {
    let mut unannounced = handed_back();
    unannounced.swallow_event = true;
    unannounced.take_over_at(1000, Cause::Stick(0));
    let mut groundless = handed_back();
    groundless.hand_back_at(1000);
    let mut misnamed = handed_back();
    misnamed.claims_from = Some(Pilot::Nobody);
    misnamed.take_over_at(1000, Cause::Stick(0));
    let mut at_start = Lesson::new();
    at_start.reception.0 = Reception::Nothing;
    at_start.nobody().fly(980, 980).reception.0 = Reception::Good;
    at_start.take_over_at(1000, Cause::InstructorBack);
    for (lesson, steps, words) in [
        (unannounced, 3, "1 change without an announcement, the first at 00:01.0"),
        (groundless, 3, "1 announcement without a change, the first at 00:01.0"),
        (misnamed, 3, "1 announcement of another change than the one that happened, the first at 00:01.0"),
        (at_start, 2, "1 announcement of the start, which must not be announced, the first at 00:01.0"),
    ] {
        let agree = format!("agree in every decision and every output, {steps} steps");
        assert_eq!(proof(&lesson), [agree.as_str(), ANNOUNCEMENTS, words, "Do not fly with this build."]);
    }
}

#[test]
fn a_start_before_the_instructors_first_good_frame_is_sound() {
    // The box is powered before the transmitter, as usual: nobody flies until the first good frame.
    for first in [Reception::Nothing, Reception::Bad] {
        let mut lesson = Lesson::new();
        lesson.reception.0 = first;
        lesson.nobody().fly(0, 480).reception.0 = Reception::Good;
        lesson.instructor().fly(500, 980).hand_back_at(1000);
        assert_eq!(proof(&lesson), ["agree in every decision and every output, 51 steps"], "{first:?}");
    }
    // A later time in which nobody flies is announced, and so is its end.
    let mut lesson = begun();
    lesson.change(1000, Pilot::Nobody, Cause::InstructorLost).instructor().fly(1020, 1020);
    assert_eq!(proof(&lesson)[1..3], [ANNOUNCEMENTS, "1 change without an announcement, the first at 00:01.0"]);
}
