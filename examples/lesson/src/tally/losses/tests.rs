//! Tests losses on both sides of every limit, and compares them with a second count on random lessons.

use handback::reference::Model;
use handback::{AxisRule, Deflection, Duration, Frame, Link as LinkState, Policy, Reception};
use proptest::prelude::*;

use super::Losses;
use crate::row::Row;

/// One step: its time in microseconds, and whether a good frame came from the instructor and from the student.
type Step = (u64, bool, bool);

const TIMEOUT: u64 = 100;
const REQUALIFY: u64 = 70;
const LATE_STEP: u64 = 250;

fn policy(timeout: u64, requalify: u64, late_step: u64) -> Policy<1> {
    let us = |us: u64| Duration::from_ticks(u32::try_from(us).unwrap());
    let mut policy = Policy::new([AxisRule::sprung()]);
    (policy.timeout, policy.failsafe_after) = (us(timeout), us(timeout));
    (policy.requalify, policy.late_step) = (us(requalify), us(late_step));
    policy
}

/// The losses of the instructor's signal, of a good link and of one that qualified; the late steps.
fn counted(policy: &Policy<1>, steps: &[Step]) -> [u64; 4] {
    let mut losses = Losses::new(policy);
    for &(now_us, instructor, student) in steps {
        losses.observe(now_us, instructor, student);
    }
    [losses.instructor, losses.student, losses.unqualified, losses.late_steps]
}

fn by_default(steps: &[Step]) -> [u64; 4] {
    counted(&policy(TIMEOUT, REQUALIFY, LATE_STEP), steps)
}

/// Good frames of both sides at these times.
fn frames(times: impl IntoIterator<Item = u64>) -> Vec<Step> {
    times.into_iter().map(|us| (us, true, true)).collect()
}

#[test]
fn a_signal_is_lost_past_timeout_and_not_at_it() {
    for (age, losses) in [(TIMEOUT, 0), (TIMEOUT + 1, 1)] {
        // Given a good link, when the next step comes after `age`, with or without frames
        for brings in [true, false] {
            let mut steps = frames([0, 35, 70]);
            steps.push((70 + age, brings, brings));
            assert_eq!(by_default(&steps), [losses, losses, 0, 0], "{age} {brings}");
        }
    }
}

#[test]
fn bad_frames_age_a_signal_as_none_do_step_by_step() {
    let mut steps = frames([0, 70]);
    steps.extend([(120, false, false), (170, false, false)]);
    assert_eq!(by_default(&steps), [0; 4]);
    steps.push((171, false, false));
    assert_eq!(by_default(&steps), [1, 1, 0, 0]);
}

#[test]
fn a_long_loss_counts_once_and_the_start_is_none() {
    let silence = |from: u64| (0..20).map(move |step| (from + step * 50, false, false));
    let steps: Vec<Step> = silence(0).chain(frames([1000, 1070])).chain(silence(1100)).collect();
    assert_eq!(by_default(&steps), [1, 1, 0, 0]);
}

#[test]
fn a_late_step_loses_both_signals_and_one_at_the_limit_does_not() {
    // With the longest `timeout`, only the late step loses a signal.
    let policy = policy(1 << 31, 70, LATE_STEP);
    for (dt, late) in [(LATE_STEP, 0), (LATE_STEP + 1, 1)] {
        let mut steps = frames([0, 70]);
        steps.push((70 + dt, true, true));
        assert_eq!(counted(&policy, &steps), [late, late, 0, late], "{dt}");
        // A second late step finds the instructor's signal back and the link qualifying: both are lost again.
        steps.push((70 + 2 * dt, false, false));
        assert_eq!(counted(&policy, &steps), [2 * late, late, late, 2 * late], "{dt}");
        // At a third late step both are already lost.
        steps.push((70 + 3 * dt, false, false));
        assert_eq!(counted(&policy, &steps), [2 * late, late, late, 3 * late], "{dt}");
    }
}

#[test]
fn a_link_lost_before_it_has_qualified_was_not_good() {
    for (qualified, good) in [(REQUALIFY - 1, 0), (REQUALIFY, 1)] {
        let mut steps = frames([0, qualified]);
        steps.push((qualified + TIMEOUT + 1, true, false));
        assert_eq!(by_default(&steps), [1, good, 1 - good, 0], "{qualified}");
    }
}

#[test]
fn with_requalify_0_a_link_is_lost_and_good_again_in_one_step() {
    let policy = policy(TIMEOUT, 0, LATE_STEP);
    let steps = frames([0, 101, 202, 302]);
    assert_eq!(counted(&policy, &steps), [2, 2, 0, 0]);
}

#[test]
fn each_side_is_lost_by_its_own_frames() {
    let steps = |instructor: bool| [0, 70, 140, 210].map(|us| (us, us < 100 || instructor, us < 100 || !instructor));
    assert_eq!(by_default(&steps(true)), [0, 1, 0, 0]);
    assert_eq!(by_default(&steps(false)), [1, 0, 0, 0]);
}

/// The same counts without any state: each step looks back over all steps before it.
fn looked_back(policy: &Policy<1>, steps: &[Step]) -> [u64; 4] {
    let us = |d: Duration| u64::from(d.as_ticks());
    let late = |at: usize| at > 0 && steps[at].0 - steps[at - 1].0 > us(policy.late_step);
    // The signal is lost before the frame of step `at` counts: no good frame before it is young enough without a late
    // step after it.
    let lost = |at: usize, side: fn(&Step) -> bool| {
        let frame = (0..at).rev().find(|&before| side(&steps[before]));
        frame.is_none_or(|then| steps[at].0 - steps[then].0 > us(policy.timeout) || (then + 1..=at).any(late))
    };
    let had = |at: usize, side: fn(&Step) -> bool| at > 0 && (side(&steps[at - 1]) || !lost(at - 1, side));
    let student: fn(&Step) -> bool = |step| step.2;
    // The link was good after step `at`: a step found it lost and brought a frame, and since then it has gone on
    // without a loss for `requalify` or longer.
    let good = |at: usize| {
        let since = (0..=at).rev().find(|&since| lost(since, student));
        since.is_some_and(|since| {
            let began = (since..=at).find(|&step| student(&steps[step]));
            began.is_some_and(|began| steps[at].0 - steps[began].0 >= us(policy.requalify))
        })
    };
    let every = |counts: &dyn Fn(usize) -> bool| (0..steps.len()).filter(|&at| counts(at)).count() as u64;
    [
        every(&|at| lost(at, |step| step.1) && had(at, |step| step.1)),
        every(&|at| lost(at, student) && had(at, student) && good(at - 1)),
        every(&|at| lost(at, student) && had(at, student) && !good(at - 1)),
        every(&late),
    ]
}

/// The losses that the outcomes of the float reference show: of either signal, if they outlast their step, and of the
/// link also those after which it qualifies. A loss that ends in its own step does not show.
fn shown(policy: &Policy<1>, steps: &[Step]) -> [u64; 2] {
    let checked = policy.check().unwrap();
    let mut model = Model::new(&checked);
    let (mut counts, mut instructor_was_lost, mut link_was) = ([0, 0], true, LinkState::Lost);
    for &(time_us, instructor, student) in steps {
        let frame = |good: bool| Some(Frame::new([if good { Deflection::CENTRE } else { Deflection::MIN }]));
        let row = Row {
            time_us,
            instructor: frame(instructor),
            student: frame(student),
            lesson_switch: false,
            instructor_now: false,
        };
        let outcome = model.step(row.now(), row.inputs());
        assert_eq!([instructor, student], [outcome.instructor, outcome.student].map(|of| of == Reception::Good));
        counts[0] += u64::from(outcome.instructor_lost && !instructor_was_lost);
        counts[1] += u64::from(outcome.link != LinkState::Good && link_was == LinkState::Good);
        (instructor_was_lost, link_was) = (outcome.instructor_lost, outcome.link);
    }
    counts
}

fn any_steps() -> impl Strategy<Value = Vec<Step>> {
    // At every limit, one microsecond beside it, and everything between.
    let dt = prop_oneof![
        4 => 1..60_u64,
        2 => prop_oneof![Just(TIMEOUT - 1), Just(TIMEOUT), Just(TIMEOUT + 1)],
        1 => prop_oneof![Just(REQUALIFY - 1), Just(REQUALIFY), Just(REQUALIFY + 1)],
        1 => prop_oneof![Just(LATE_STEP - 1), Just(LATE_STEP), Just(LATE_STEP + 1)],
        1 => 0..600_u64,
    ];
    let good = || proptest::bool::weighted(0.7);
    proptest::collection::vec((dt, good(), good()), 1..150).prop_map(|steps| {
        let mut now_us = 0;
        let timed = |(dt, instructor, student)| {
            now_us += dt;
            (now_us, instructor, student)
        };
        steps.into_iter().map(timed).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]
    #[test]
    fn random_lessons_are_counted_as_a_second_count_counts_them(
        steps in any_steps(),
        timeout in prop_oneof![Just(TIMEOUT), Just(LATE_STEP + 50)],
        requalify in prop_oneof![Just(0), Just(REQUALIFY)],
    ) {
        let policy = policy(timeout, requalify, LATE_STEP);
        let counts = counted(&policy, &steps);
        prop_assert_eq!(counts, looked_back(&policy, &steps));
        // Every loss that an outcome shows is counted; one that ends in its own step shows only here.
        let shown = shown(&policy, &steps);
        prop_assert!(counts[0] >= shown[0] && counts[1] >= shown[1], "{counts:?} {shown:?}");
        if requalify > 0 {
            prop_assert_eq!(counts[1], shown[1]);
        }
    }
}
