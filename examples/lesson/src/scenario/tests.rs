//! Whole lessons, flown through the engine.

use std::collections::BTreeMap;

use handback::{Cause, Deflection, Engine, Event, Frame, Outcome, Policy, Rest};
use seeded::Random;

use super::{AXES, Scenario};
use crate::plain::plain;
use crate::row::{Row, Truth};

/// A change undone within this many microseconds is a flicker.
const FLICKER_US: u32 = 300_000;

type Step = (Row<AXES>, Truth);

/// The counts of a flown lesson.
#[derive(Debug, Default)]
struct Counted {
    steps: u32,
    student_steps: u32,
    causes: BTreeMap<Cause, u32>,
    reasons: BTreeMap<&'static str, u32>,
    false_takeovers: u32,
    flickers: u32,
    /// Metres between the mistake and the lowest point of its rescue, one entry for each rescue.
    lost_m: Vec<f64>,
    lowest_m: f64,
}

/// Flies the lesson with this policy; the model flies what the engine outputs.
fn fly(seed: u64, minutes: f64, policy: &Policy<AXES>) -> (Vec<Step>, Counted) {
    let policy = policy.check().unwrap();
    let (mut engine, mut scenario) = (Engine::new(&policy), Scenario::new(seed, minutes));
    let (mut steps, mut outcomes, mut last) = (Vec::new(), Vec::new(), None);
    while let Some((row, truth)) = scenario.next(last.as_ref()) {
        let outcome = engine.step(row.now(), row.inputs());
        last = Some(outcome);
        steps.push((row, truth));
        outcomes.push(outcome);
    }
    let counted = count(&steps, &outcomes);
    (steps, counted)
}

/// Flies the rows of a lesson that was flown with another policy.
fn replay(steps: &[Step], policy: &Policy<AXES>) -> Counted {
    let policy = policy.check().unwrap();
    let mut engine = Engine::new(&policy);
    let outcomes: Vec<_> = steps.iter().map(|(row, _)| engine.step(row.now(), row.inputs())).collect();
    count(steps, &outcomes)
}

fn count(steps: &[Step], outcomes: &[Outcome<AXES>]) -> Counted {
    let mut counted = Counted { lowest_m: f64::INFINITY, ..Counted::default() };
    let mut before: Option<Event> = None;
    let mut rescue: Option<(f64, f64)> = None;
    for ((_, truth), outcome) in steps.iter().zip(outcomes) {
        counted.steps += 1;
        counted.student_steps += u32::from(!outcome.pilot.student().is_empty());
        counted.lowest_m = counted.lowest_m.min(truth.height_m);
        match (truth.mistake_height_m, rescue) {
            (Some(mistake), None) => rescue = Some((mistake, truth.height_m)),
            (Some(mistake), Some((_, lowest))) => rescue = Some((mistake, lowest.min(truth.height_m))),
            (None, Some((mistake, lowest))) => {
                counted.lost_m.push(mistake - lowest);
                rescue = None;
            }
            (None, None) => {}
        }
        let Some(event) = outcome.event else { continue };
        *counted.causes.entry(event.cause).or_default() += 1;
        if matches!(event.cause, Cause::Stick(_)) && event.to.student().is_empty() {
            *counted.reasons.entry(truth.reason).or_default() += 1;
            counted.false_takeovers += u32::from(!truth.meant);
        }
        let undone = before.is_some_and(|before| {
            event.to == before.from && event.at.as_ticks().wrapping_sub(before.at.as_ticks()) <= FLICKER_US
        });
        counted.flickers += u32::from(undone);
        before = Some(event);
    }
    counted
}

/// Given lessons of the default length, when the shipped policy flies them, then there are no false takeovers and no
/// flickers, the student flies for much of the time, and all usual causes occur. A plain threshold flickers and takes
/// over falsely.
#[test]
fn the_shipped_policy_flies_default_lessons_without_a_fault() {
    let (mut causes, mut plain_false) = (BTreeMap::<Cause, u32>::new(), 0);
    for seed in 1..=20 {
        let policy = Scenario::shipped_policy(seed);
        let (steps, shipped) = fly(seed, 5.0, &policy);
        assert_eq!((shipped.false_takeovers, shipped.flickers), (0, 0), "seed {seed}: {shipped:?}");
        let share = f64::from(shipped.student_steps) / f64::from(shipped.steps);
        assert!((0.4..0.85).contains(&share), "seed {seed}: the student flies {share}");
        let axes = shipped.causes.keys().filter(|cause| matches!(cause, Cause::Stick(_))).count();
        assert!(axes >= 2 && shipped.reasons.len() >= 3, "seed {seed}: {shipped:?}");
        let mean = shipped.lost_m.iter().sum::<f64>() / f64::from(u32::try_from(shipped.lost_m.len()).unwrap());
        assert!((0.5..10.0).contains(&mean), "seed {seed}: a mistake costs {mean} m: {shipped:?}");
        assert!(shipped.lowest_m > 10.0, "seed {seed}: down to {} m", shipped.lowest_m);
        for (cause, times) in shipped.causes {
            *causes.entry(cause).or_default() += times;
        }

        let plain = replay(&steps, &plain(policy));
        assert!(plain.flickers >= 5, "seed {seed}: a plain threshold flickers only {} times", plain.flickers);
        plain_false += plain.false_takeovers;
    }
    assert!(plain_false >= 10, "a plain threshold takes over falsely only {plain_false} times in 20 lessons");
    let all = [
        Cause::Stick(0),
        Cause::Stick(1),
        Cause::HandedBack,
        Cause::LinkLost,
        Cause::SwitchOff,
        Cause::InstructorNow,
        Cause::InstructorLost,
    ];
    assert!(all.iter().all(|cause| causes.contains_key(cause)), "{causes:?}");
}

#[test]
fn short_and_long_lessons_are_flown_without_a_fault_too() {
    let long = if cfg!(debug_assertions) { 1..=3 } else { 1..=20 }; // half an hour of flight is slow without optimisation
    for (seed, minutes) in (1..=20).map(|seed| (seed, 2.0)).chain(long.map(|seed| (seed, 30.0))) {
        let (_, counted) = fly(seed, minutes, &Scenario::shipped_policy(seed));
        assert_eq!((counted.false_takeovers, counted.flickers), (0, 0), "seed {seed}, {minutes} min: {counted:?}");
        assert!(counted.lowest_m > 0.0, "seed {seed}, {minutes} min: hits the ground");
    }
}

/// Given lessons with the one reading in 3192 that is 19 us off in the recorded channels, which a lesson leaves out,
/// when they are flown, then these spikes take over falsely with `confirm` 1 and never with 2.
#[test]
fn confirm_2_ignores_recorded_spikes_of_19_us() {
    let (mut one_frame, mut two_frames) = (0, 0);
    for seed in 1..=5 {
        let mut policy = Scenario::shipped_policy(seed);
        let (mut steps, _) = fly(seed, 5.0, &policy);
        let mut rng = Random::stream(seed, 99);
        for frame in steps.iter_mut().filter_map(|(row, _)| row.instructor.as_mut()) {
            for axis in frame.axes_mut() {
                if rng.chance(1.0 / 3192.0) {
                    *axis = axis.saturating_sub(Deflection::from_centipoints(if rng.chance(0.5) { 380 } else { -380 }));
                }
            }
        }
        one_frame += replay(&steps, &policy).false_takeovers;
        policy.axes.iter_mut().for_each(|rule| rule.confirm = 2);
        two_frames += replay(&steps, &policy).false_takeovers;
    }
    assert!(one_frame >= 10, "only {one_frame}");
    assert_eq!(two_frames, 0);
}

#[test]
fn a_seed_names_one_lesson_and_another_seed_another() {
    let rows = |seed| fly(seed, 1.0, &Scenario::shipped_policy(seed)).0;
    assert!(rows(7) == rows(7));
    assert!(rows(7) != rows(8));
    assert_eq!(Scenario::shipped_policy(7), Scenario::shipped_policy(7));
}

/// FNV-1a over every instant, switch, frame and height. The figure was measured: a change of the simulation, or of the
/// decisions of the engine, renews it. No machine may give another one.
#[test]
fn a_lesson_is_the_same_to_the_bit_on_every_machine() {
    let mut hash = 0xCBF2_9CE4_8422_2325_u64;
    let mut add = |value: u64| {
        for byte in value.to_le_bytes() {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01B3);
        }
    };
    for (row, truth) in fly(1, 5.0, &Scenario::shipped_policy(1)).0 {
        add(row.time_us);
        add(u64::from(row.lesson_switch));
        for axis in [row.instructor, row.student].into_iter().flatten().flat_map(|frame| *frame.axes()) {
            add(u64::from(axis.to_bits().cast_unsigned()));
        }
        add(truth.height_m.to_bits());
    }
    assert_eq!(hash, 12_737_765_253_029_129_279);
}

#[test]
fn every_value_is_one_that_a_whole_microsecond_stands_for() {
    #[allow(clippy::cast_possible_truncation)]
    let grid: Vec<i16> = (1000..=2000).map(|us| ((f64::from(us) - 1500.0) / 500.0 * 16384.0).round() as i16).collect();
    let mut seen = 0;
    for (row, _) in fly(3, 2.0, &Scenario::shipped_policy(3)).0 {
        for frame in [row.instructor, row.student].into_iter().flatten() {
            assert!(frame.axes().iter().all(|axis| grid.binary_search(&axis.to_bits()).is_ok()), "{frame:?}");
            seen += 1;
        }
    }
    assert!(seen > 10_000, "{seen}");
}

/// Given a lesson, when its rows are read, then there are as many as it says, in equal steps, and some frames of the
/// student are missing.
#[test]
fn a_lesson_has_the_announced_rows_at_equal_steps() {
    for (seed, minutes) in [(1, 2.0), (2, 0.0), (3, 0.1), (4, -1.0), (5, f64::NAN)] {
        let mut scenario = Scenario::new(seed, minutes);
        let steps = scenario.steps();
        let rows: Vec<_> = core::iter::from_fn(|| scenario.next(None)).collect();
        assert_eq!(rows.len() as u64, steps, "seed {seed}, {minutes} min");
        for pair in rows.windows(2) {
            let step_us = pair[1].0.time_us - pair[0].0.time_us;
            assert!([20_000, 22_500].contains(&step_us), "{step_us} us");
        }
        if minutes > 1.0 {
            assert!(
                rows.iter().any(|(row, _)| row.student.is_none()) && rows.iter().any(|(row, _)| row.student.is_some())
            );
            assert!(!rows[0].0.lesson_switch, "the lesson begins with the switch off");
        }
    }
}

#[test]
fn the_learnt_rests_are_where_the_untouched_sticks_are() {
    for seed in 1..=20 {
        let policy = Scenario::shipped_policy(seed);
        let mut sticks = super::instructor_sticks(seed, super::Stream::InstructorSticks, 0.02);
        let untouched = super::frame(&mut sticks);
        for (rule, axis) in policy.axes.iter().zip(untouched.axes()) {
            if let Rest::At(rest) = rule.rest {
                let off = rest.saturating_sub(*axis);
                assert!(off.to_bits().unsigned_abs() < 250, "seed {seed}: learnt {rest}, reads {axis}");
            }
        }
        assert!(
            Frame::new(policy.axes.map(|rule| rule.engage)) == Frame::new([2, 2, 8, 2].map(Deflection::from_points))
        );
    }
}
