//! Tests the sections on time, takeovers, steadiness and height.

use handback::{Cause, Pilot};

use super::{begun, only_the_first_says, printed, row, said};
use crate::tally::{CAUSES, Lesson};

#[test]
fn one_step_is_a_step_and_two_are_steps() {
    let mut two = begun();
    two.fly(20, 20);
    only_the_first_says(&row("lesson", "00:00.0   1 step"), &begun(), &two);
    only_the_first_says(&row("lesson", "00:00.0   2 steps"), &two, &begun());
}

#[test]
fn time_is_told_by_who_flew() {
    // Given 1 s of the instructor, 2 s of the student and 5 s of nobody
    let mut lesson = begun();
    lesson.hand_back_at(1000).change(3000, Pilot::Nobody, Cause::InstructorLost).fly(8000, 8000);
    let said = said(&lesson);
    for (label, value) in [
        ("lesson", "00:08.0   4 steps"),
        ("student flew", "00:02.0   25.0 % of the lesson"),
        ("instructor flew", "00:01.0"),
        ("nobody flew", "00:05.0"),
    ] {
        assert!(said.contains(&row(label, value)), "{label} {value}\n{said}");
    }
}

#[test]
fn no_turn_has_no_longest_and_an_open_one_no_shortest() {
    let (mut unfinished, mut over) = (begun(), begun());
    unfinished.hand_back_at(1000).fly(1020, 3000);
    over.hand_back_at(1000).take_over_at(3000, Cause::SwitchOff);
    only_the_first_says(&row("longest time flying", "none"), &begun(), &unfinished);
    only_the_first_says(&row("longest time flying", "00:02.0"), &unfinished, &begun());
    only_the_first_says(&row("shortest time flying", "none"), &unfinished, &over);
    only_the_first_says(&row("shortest time flying", "00:02.0"), &over, &unfinished);
    only_the_first_says(&row("student flew, times", "1"), &over, &begun());
}

#[test]
fn a_takeover_is_listed_by_its_own_cause_alone() {
    let causes = [
        Cause::LateStep,
        Cause::InstructorLost,
        Cause::InstructorBack,
        Cause::InstructorNow,
        Cause::BadFrame,
        Cause::SwitchOff,
        Cause::LinkLost,
        Cause::LinkFrozen,
        Cause::Stick(1),
        Cause::Latch,
        Cause::HandedBack,
    ];
    for (cause, words) in causes.into_iter().zip(CAUSES) {
        let mut lesson = begun();
        lesson.hand_back_at(20).take_over_at(1000, cause);
        let said = said(&lesson);
        let by: Vec<&str> = said.lines().filter(|line| line.starts_with("  by ")).collect();
        assert_eq!(by, [row(&format!("by {words}"), "1").trim_matches('\n')], "{cause:?}");
        let with = said.contains(&row("  with elevator", "1"));
        assert_eq!(with, cause == Cause::Stick(1), "{said}");
    }
}

#[test]
fn a_change_that_takes_nothing_from_the_student_is_no_takeover() {
    let change = |cause: Cause| {
        let mut lesson = begun();
        lesson.change(1000, Pilot::Nobody, cause);
        lesson
    };
    let (mut taken, mut lost) = (begun(), begun());
    taken.hand_back_at(20).change(1000, Pilot::Instructor, Cause::SwitchOff);
    lost.hand_back_at(20).change(1000, Pilot::Nobody, Cause::InstructorLost);
    for untaken in [&change(Cause::InstructorLost), &lost] {
        only_the_first_says("\nTakeovers: 0\n", untaken, &taken);
        only_the_first_says("\nTakeovers: 1\n", &taken, untaken);
    }
    let said =
        format!("\nLost by the student without a takeover: 1\n{}", &row("by instructor's signal lost", "1")[1..]);
    only_the_first_says(&said, &lost, &change(Cause::InstructorLost));
}

#[test]
fn what_was_meant_is_known_of_a_simulation_alone() {
    let taken = |meant: Option<bool>| {
        let mut lesson = begun();
        lesson.meant = meant;
        lesson.hand_back_at(20).take_over_at(1000, Cause::Stick(0));
        lesson
    };
    let false_ones = |this: &str, plain: &str| format!("\n  {:30}{this:>18}{plain:>18}\n", "false takeovers");
    only_the_first_says(&false_ones("not known", "not known"), &taken(None), &taken(Some(true)));
    only_the_first_says(&false_ones("1", "1"), &taken(Some(false)), &taken(Some(true)));
    // Each column is for its own lesson.
    let both = printed(&taken(Some(true)), &taken(Some(false)));
    assert!(both.contains(&false_ones("0", "1")), "{both}");
}

#[test]
fn a_flicker_is_counted_for_the_policy_that_flickers() {
    let undone_after = |ms: u64| {
        let mut lesson = begun();
        lesson.hand_back_at(1000).take_over_at(2000, Cause::Stick(0)).hand_back_at(2000 + ms);
        lesson
    };
    let flickers = |this: &str, plain: &str| format!("\n  {:30}{this:>18}{plain:>18}\n", "flickers within 300 ms");
    let both = printed(&undone_after(301), &undone_after(300));
    assert!(both.contains(&flickers("0", "1")), "{both}");
}

/// A mistake at 40 m, caught at 35 m; with `handed_back` the student has the craft again.
fn rescue(taken: bool, handed_back: bool) -> Lesson {
    let mut lesson = begun();
    (lesson.meant, lesson.height_m) = (Some(true), 35.0);
    lesson.hand_back_at(20);
    lesson.mistake_m = taken.then_some(40.0);
    lesson.fly(40, 60);
    if taken {
        lesson.take_over_at(80, Cause::Stick(0));
    }
    lesson.mistake_m = None;
    if handed_back {
        lesson.hand_back_at(2000);
    }
    lesson
}

#[test]
fn height_is_told_of_a_rescue_that_is_over() {
    let (none, unfinished, over) = (rescue(false, false), rescue(true, false), rescue(true, true));
    let lost = row("metres", "least 5.0   median 5.0   worst 5.0   of 1 rescue");
    only_the_first_says(&lost, &over, &unfinished);
    only_the_first_says(&row("metres", "no rescue"), &none, &over);
    only_the_first_says(&row("not handed back", "1 rescue"), &unfinished, &over);
    only_the_first_says(&row("metres", "not known"), &begun(), &none);
}
