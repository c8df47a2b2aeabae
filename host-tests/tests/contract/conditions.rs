//! Condition by condition: each condition alone decides that an axis becomes held (T1), that the student loses the
//! craft (T4, T5), and that the student gets it (H1). The coverage is known as MC/DC.
//!
//! A row is a pair of lessons that differ in one condition. Where the contract ties a second condition to it, the row
//! says so. The page `CONDITIONS.md` is written from the rows.

use std::fmt::Write as _;
use std::path::Path;
use std::{env, fs};

use handback::{AxisSet, Cause, Deflection, Policy, Scope};
use handback_host_tests::{Lesson, bare, lesson_with, ms, points, us, with};

/// A condition, and the lesson in which it is true or false in the last step.
struct Pair {
    condition: &'static str,
    rule: &'static str,
    /// The condition of the contract that always falls with this one; empty if there is none.
    tied: &'static str,
    lesson: fn(bool) -> Lesson<2>,
}

const fn pair(condition: &'static str, rule: &'static str, lesson: fn(bool) -> Lesson<2>) -> Pair {
    Pair { condition, rule, tied: "", lesson }
}

const fn tied(condition: &'static str, rule: &'static str, tied: &'static str, lesson: fn(bool) -> Lesson<2>) -> Pair {
    Pair { condition, rule, tied, lesson }
}

/// Everything is in order, so that the next step gives the craft to the student: no policy here has a dwell.
fn ready(policy: Policy<2>) -> Lesson<2> {
    lesson_with(policy).off_first_and_on()
}

/// The same, with the stick of axis 0 out of its band from the start on.
fn ready_and_held(policy: Policy<2>) -> Lesson<2> {
    lesson_with(policy).roll(3).off_first_and_on()
}

fn flying(policy: Policy<2>) -> Lesson<2> {
    lesson_with(policy).student_flying()
}

/// A lost link asks for no switch that is off first, so that the link alone decides.
fn link_alone() -> Policy<2> {
    with!(bare(), off_first_after_loss: false)
}

/// Only a step is late: no signal is lost by its age.
fn patient() -> Policy<2> {
    with!(bare(), timeout: ms(400))
}

fn confirm_two() -> Policy<2> {
    let mut policy = bare();
    policy.axes[0].confirm = 2;
    policy
}

/// T1: whether axis 0 becomes held in the last step.
const HELD: [Pair; 4] = [
    pair("the axis is watched", "T1", |is| {
        let watched = AxisSet::of(if is { &[0] } else { &[1] });
        flying(with!(bare(), watched: watched)).roll(3).step()
    }),
    pair("its stick is further than `engage` from its rest", "T1", |is| {
        let beyond = Deflection::from_bits(points(2).to_bits() + i16::from(is));
        flying(bare()).instructor(0, beyond).step()
    }),
    pair("the row is `confirm` frames long", "T1", |is| {
        let lesson = flying(confirm_two()).roll(3);
        if is { lesson.steps(2) } else { lesson.step() }
    }),
    pair("the step brings a good instructor's frame", "T1", |is| {
        flying(confirm_two()).roll(3).step().instructor_frames(is).step()
    }),
];

/// T4 and T5: whether the student loses an axis in the last step, condition by condition.
const TAKEN: [Pair; 10] = [
    pair("an axis becomes held", "T2, T5", |is| flying(bare()).roll(if is { 3 } else { 2 }).step()),
    pair("the lesson switch is seen off", "T4", |is| {
        let lesson = flying(bare());
        if is { lesson.switch_off().step() } else { lesson.step() }
    }),
    tied("the instructor's signal is lost", "T4, I1", "the switch must be seen off first (S2)", |is| {
        flying(bare()).instructor_frames(false).step_of(ms(75)).step_of(ms(if is { 76 } else { 75 }))
    }),
    pair("the student link is lost at the end of the step", "T4, L1", |is| {
        flying(link_alone()).student_frames(false).step_of(ms(75)).step_of(ms(if is { 76 } else { 75 }))
    }),
    pair("the student link is lost, and good again at the end of the step", "T4, L3", |is| {
        let lost = flying(link_alone()).student_frames(false).step_of(ms(75));
        lost.student_frames(true).step_of(ms(if is { 76 } else { 75 }))
    }),
    pair("the student link is frozen", "T4, L4", |is| {
        let policy = with!(link_alone(), frozen_after: Some(ms(500)));
        let still = flying(policy).student(1, points(5)).step().pass(ms(500));
        still.student(1, points(if is { 5 } else { 6 })).step()
    }),
    tied("the step is late", "T4, K1", "both signals are lost, and the switch must be seen off first (S2)", |is| {
        flying(patient()).step_of(ms(if is { 251 } else { 250 }))
    }),
    pair("the takeover latches", "T4, H2", |is| {
        let mut policy = with!(bare(), scope: Scope::Axis);
        policy.latches.lasted = Some(ms(100));
        flying(policy).roll(3).step().pass(ms(80)).step_of(ms(if is { 20 } else { 19 }))
    }),
    pair("a bad instructor's frame comes", "T4", |is| {
        let lesson = flying(bare());
        if is { lesson.step_with_bad_frame() } else { lesson.step() }
    }),
    tied("instructor now is asked for", "T7", "the latch is set (H2)", |is| flying(bare()).instructor_now(is).step()),
];

/// H1: whether the student gets an axis in the last step.
const GIVEN: [Pair; 17] = [
    pair("the step brings a good instructor's frame", "H1", |is| ready(bare()).instructor_frames(is).step()),
    pair("no row of T1 has begun", "H1", |is| ready(confirm_two()).roll(if is { 2 } else { 3 }).step()),
    pair("the conditions of the dwell have been true for `dwell`", "H1", |is| {
        ready(with!(bare(), dwell: ms(300))).step().pass(ms(299)).step_of(us(if is { 1_000 } else { 999 }))
    }),
    pair("the lesson switch is seen on", "T4", |is| {
        let lesson = ready(bare());
        if is { lesson.step() } else { lesson.switch_off().step() }
    }),
    pair("the switch has settled", "T4, S3", |is| {
        let on = lesson_with(with!(bare(), settle: ms(100))).step().pass(ms(100)).switch_on().step();
        on.pass(ms(80)).step_of(ms(if is { 20 } else { 19 }))
    }),
    pair("the switch was seen off first", "T4, S2", |is| {
        let lesson = lesson_with(bare());
        let start = if is { lesson } else { lesson.switch_on() };
        start.steps(2).switch_on().steps(2)
    }),
    tied(
        "the instructor's signal was not lost in the step",
        "T4, I1",
        "the switch must be seen off first (S2)",
        |is| {
            let old = ready(bare()).instructor_frames(false).step_of(ms(75));
            old.instructor_frames(true).step_of(ms(if is { 75 } else { 76 }))
        },
    ),
    pair("the student link was not lost in the step", "T4, L3", |is| {
        let old = lesson_with(link_alone()).steps(2).student_frames(false).step_of(ms(75)).switch_on().step_of(us(1));
        old.student_frames(true).step_of(us(if is { 74_999 } else { 75_000 }))
    }),
    pair("the student link is good at the end of the step", "T4, L2", |is| {
        let qualifying = ready(with!(bare(), requalify: ms(100))).step().pass(ms(60));
        qualifying.step_of(us(if is { 19_998 } else { 19_997 }))
    }),
    tied("the step is not late", "T4, K1", "both signals are lost, and the switch must be seen off first (S2)", |is| {
        ready(patient()).step_of(ms(if is { 250 } else { 251 }))
    }),
    pair("no latch is on", "T4, H2", |is| {
        let mut policy = bare();
        policy.latches.beyond = Some(points(20));
        flying(policy).roll(if is { 20 } else { 21 }).step().roll(0).steps(2)
    }),
    tied("no bad instructor's frame comes", "T4", "the step brings no good frame (H1)", |is| {
        let lesson = ready(bare());
        if is { lesson.step() } else { lesson.step_with_bad_frame() }
    }),
    tied("instructor now is not asked for", "T7", "the latch is set (H2)", |is| {
        ready(bare()).instructor_now(!is).step()
    }),
    pair("no held axis takes everything", "H1, T5", |is| {
        let lesson = if is { ready(bare()) } else { ready_and_held(bare()) };
        lesson.step()
    }),
    // In scope `Axis` a held axis takes only itself.
    pair("a shared axis is left that is not held", "H1", |is| {
        let policy = with!(bare(), scope: Scope::Axis, shared: AxisSet::of(&[0]));
        let lesson = if is { ready(policy) } else { ready_and_held(policy) };
        lesson.step()
    }),
    pair("the set of held axes did not change in the step", "H1", |is| {
        let held = ready_and_held(bare());
        let before = if is { held.roll(0).step() } else { held.step() };
        before.roll(0).step()
    }),
    pair("no gate holds the axes back", "H3", |is| {
        let mut policy = bare();
        policy.axes[0].window = Some(points(10));
        ready(policy).student(0, points(if is { 10 } else { 11 })).step()
    }),
];

/// Given two lessons that differ in one condition, when the stick moves, then the axis becomes held in one alone.
/// Rules: T1
#[test]
fn each_condition_alone_decides_that_an_axis_is_held() {
    for Pair { condition, lesson, .. } in HELD {
        for is in [true, false] {
            assert_eq!(lesson(is).outcome().held.contains(0), is, "{condition}: {is}");
        }
    }
}

/// Given two lessons that differ in one condition, when it becomes true, then the student loses the craft in that step,
/// and in the other lesson keeps every axis.
/// Rules: T2, T4, T5, T7, H2, I1, K1, L1, L3, L4
#[test]
fn each_condition_alone_takes_the_craft_in_that_step() {
    for Pair { condition, lesson, .. } in TAKEN {
        assert!(lesson(true).outcome().pilot.student().is_empty(), "{condition}: true");
        assert!(!lesson(false).outcome().pilot.student().is_empty(), "{condition}: false");
    }
}

/// Given everything in order but one condition, when it is true too, then the student gets the craft, else not.
/// Rules: H1, H2, H3, S2, S3, T4, T7, I1, K1, L2, L3
#[test]
fn each_condition_alone_holds_the_craft_back() {
    for Pair { condition, lesson, .. } in GIVEN {
        for is in [true, false] {
            let after = lesson(is);
            let got = after.outcome().event.is_some_and(|event| event.cause == Cause::HandedBack);
            assert_eq!(got, is, "{condition}: {is}: {:#?}", after.outcome());
        }
    }
}

fn page() -> String {
    let mut page = String::from(
        "# Condition by condition\n\n\
         The three decisions of a step, and every condition of each (MC/DC). For each condition two lessons differ in it, \
         and the\ndecision differs with it. Where the contract ties another condition to it, both change: no lesson can show \
         the one without\nthe other. Written from the rows of `tests/contract/conditions.rs` by\n\
         `UPDATE_RULES=1 cargo test -p handback-host-tests conditions`.\n",
    );
    for (title, test, pairs) in [
        ("An axis becomes held: all of these are true", "each_condition_alone_decides_that_an_axis_is_held", &HELD[..]),
        (
            "The student loses the craft: one of these is true",
            "each_condition_alone_takes_the_craft_in_that_step",
            &TAKEN[..],
        ),
        ("The student gets the craft: all of these are true", "each_condition_alone_holds_the_craft_back", &GIVEN[..]),
    ] {
        write!(page, "\n## {title}\n\n`{test}`\n\n| condition | rule | tied to it |\n|---|---|---|\n")
            .expect("a string");
        for Pair { condition, rule, tied, .. } in pairs {
            writeln!(page, "| {condition} | {rule} | {tied} |").expect("a string");
        }
    }
    page
}

/// Given the rows, when the page is written from them, then it is the committed one.
/// Rules: T1, T4, H1
#[test]
fn the_page_of_conditions_is_up_to_date() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("CONDITIONS.md");
    if env::var_os("UPDATE_RULES").is_some() {
        fs::write(&path, page()).expect("the page can be written");
    }
    let committed = fs::read_to_string(&path).unwrap_or_default();
    assert!(committed == page(), "write it again: UPDATE_RULES=1 cargo test -p handback-host-tests conditions");
}
