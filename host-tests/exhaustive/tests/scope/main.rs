//! What `host-tests/SCOPE.md` claims of the step from one and two axes to sixteen, on random flights.

mod random;

use handback::{AxisSet, Deflection, Engine, Event, Frame, Instant, Outcome, Pilot, Policy, Rest, Waiting};
use handback_monitor::Monitor;
use random::{People, Step};
use seeded::Random;

const FLIGHTS: u64 = 2_000;
const STEPS: u32 = 300;

/// Flies random flights with random policies. `each` is given the policy and all the steps.
fn fly<const N: usize>(bad: AxisSet, mut each: impl FnMut(&mut Random, Policy<N>, Vec<Step<N>>)) {
    for flight in 0..FLIGHTS {
        let mut random = Random::stream(1, flight * 16 + N as u64);
        let policy = random::policy::<N>(&mut random);
        let mut people = People::new(Random::stream(2, flight * 16 + N as u64));
        let steps = (0..STEPS).map(|_| people.step(&policy, bad)).collect();
        each(&mut random, policy, steps);
    }
}

/// The outcomes of these steps.
fn outcomes<const N: usize>(policy: &Policy<N>, steps: &[Step<N>]) -> Vec<Outcome<N>> {
    let policy = policy.check().expect("a policy that passes its check");
    let (mut engine, mut now) = (Engine::new(&policy), 0_u32);
    let mut outcomes = Vec::new();
    for step in steps {
        now = now.wrapping_add(step.dt);
        outcomes.push(engine.step(Instant::from_ticks(now), step.inputs()));
    }
    outcomes
}

/// Whether flights had what decides: a claim about flights without a lesson shows nothing.
fn assert_flown<const N: usize>(flown: &[Outcome<N>], student: &mut u64) {
    *student += flown.iter().filter(|outcome| !outcome.pilot.student().is_empty()).count() as u64;
}

/// Given any flight, when the state of engine and monitor is brought to normal form after each step, then every outcome
/// and every verdict is the same, also on outcomes that were changed by hand.
fn normal_form_changes_nothing<const N: usize>() {
    let (mut student, mut broken) = (0, 0);
    fly::<N>(AxisSet::first(1), |random, policy, steps| {
        let checked = policy.check().expect("a policy that passes its check");
        let (mut engine, mut monitor) = (Engine::new(&checked), Monitor::new(&checked));
        let plain = outcomes(&policy, &steps);
        assert_flown(&plain, &mut student);
        let (mut judge, mut now) = (Monitor::new(&checked), 0_u32);
        for (step, expected) in steps.iter().zip(plain) {
            let at = Instant::from_ticks(step.dt);
            let mut outcome = engine.step(at, step.inputs());
            let event = expected.event.map(|event| Event { at, ..event });
            assert_eq!(outcome, Outcome { at, event, ..expected }, "{policy:?}");
            engine.normalise();
            if random.one_in(50) {
                break_by_hand(random, &mut outcome);
            }
            let verdict = monitor.step(at, &step.inputs(), &outcome);
            monitor.normalise();
            now = now.wrapping_add(step.dt);
            let at = Instant::from_ticks(now);
            let event = outcome.event.map(|event| Event { at, ..event });
            let plainly = judge.step(at, &step.inputs(), &Outcome { at, event, ..outcome });
            assert_eq!(verdict.is_ok(), plainly.is_ok(), "{policy:?}: {verdict:?}, {plainly:?}");
            broken += u64::from(verdict.is_err());
        }
    });
    assert!(student > 20_000 && broken > 5_000, "{student} {broken}");
}

/// Changes who flies, the held axes or an output.
fn break_by_hand<const N: usize>(random: &mut Random, outcome: &mut Outcome<N>) {
    let set = AxisSet::from_bits(u16::try_from(random.time(0, 0xFFFF)).expect("16 bits")) & AxisSet::first(N);
    match random.below(3) {
        0 => outcome.pilot = Pilot::with_student(set),
        1 => outcome.held = set,
        _ => outcome.output.axes_mut()[0] = Deflection::from_bits(7),
    }
}

#[test]
fn normal_form_changes_nothing_with_one_axis() {
    normal_form_changes_nothing::<1>();
}

#[test]
fn normal_form_changes_nothing_with_two_axes() {
    normal_form_changes_nothing::<2>();
}

#[test]
fn normal_form_changes_nothing_with_four_axes() {
    normal_form_changes_nothing::<4>();
}

/// Given any flight with 4 axes, when the axes are numbered in another order, then every outcome is the same with the
/// axes in that order. Only the axis that a cause or a waiting names may differ, because the lowest is named.
#[test]
fn the_order_of_the_axes_decides_nothing() {
    let mut student = 0;
    fly::<4>(AxisSet::first(4), |random, policy, steps| {
        let mut order = [0_u8, 1, 2, 3];
        for last in (1..4).rev() {
            order.swap(last, random.below(last + 1));
        }
        let frame = |frame: Frame<4>| Frame::new(order.map(|axis| frame.axes()[usize::from(axis)]));
        let set = |set: AxisSet| {
            let places = (0..4).filter(|&place| set.contains(order[usize::from(place)]));
            places.fold(AxisSet::EMPTY, AxisSet::with)
        };
        let mut other = policy;
        other.axes = order.map(|axis| policy.axes[usize::from(axis)]);
        (other.watched, other.shared) = (set(policy.watched), set(policy.shared));
        let turned = |step: &Step<4>| {
            let (instructor, student) = (step.instructor.map(frame), step.student.map(frame));
            Step { instructor, student, ..*step }
        };
        let there: Vec<Step<4>> = steps.iter().map(turned).collect();
        let plain = outcomes(&policy, &steps);
        assert_flown(&plain, &mut student);
        let pilot = |pilot: Pilot| if let Pilot::Student(axes) = pilot { Pilot::Student(set(axes)) } else { pilot };
        for (ours, theirs) in plain.iter().zip(outcomes(&other, &there)) {
            let event = |event: Event| (event.at, event.cause.kind(), event.from, event.to);
            let expected = ours.event.map(|event| Event { from: pilot(event.from), to: pilot(event.to), ..event });
            assert_eq!(theirs.event.map(event), expected.map(event));
            assert_eq!(unnumbered(theirs.waiting), unnumbered(ours.waiting));
            let expected = Outcome {
                output: frame(ours.output),
                pilot: pilot(ours.pilot),
                event: theirs.event,
                waiting: theirs.waiting,
                held: set(ours.held),
                pickup: set(ours.pickup),
                stick: frame(ours.stick),
                ..*ours
            };
            assert_eq!(theirs, expected, "{policy:?} {order:?}");
        }
    });
    assert!(student > 20_000, "{student}");
}

/// What is waited for, without the number of an axis.
fn unnumbered(waiting: Option<Waiting>) -> Option<Waiting> {
    waiting.map(|waiting| match waiting {
        Waiting::Held(_) => Waiting::Held(0),
        Waiting::Gate(_) => Waiting::Gate(0),
        other => other,
    })
}

/// The outcome of the first two axes of `N`.
fn of_two<const N: usize>(outcome: &Outcome<N>) -> Outcome<2> {
    let two = |set: AxisSet| set & AxisSet::first(2);
    let frame = |frame: Frame<N>| Frame::new([frame.axes()[0], frame.axes()[1]]);
    let pilot = |pilot: Pilot| if let Pilot::Student(axes) = pilot { Pilot::with_student(two(axes)) } else { pilot };
    let event = outcome.event.map(|event| Event { from: pilot(event.from), to: pilot(event.to), ..event });
    Outcome {
        at: outcome.at,
        output: frame(outcome.output),
        pilot: pilot(outcome.pilot),
        event,
        waiting: outcome.waiting,
        held: two(outcome.held),
        pickup: two(outcome.pickup),
        stick: frame(outcome.stick),
        instructor: outcome.instructor,
        student: outcome.student,
        instructor_lost: outcome.instructor_lost,
        link: outcome.link,
        late_step: outcome.late_step,
    }
}

/// The flight of two axes as one of sixteen. Sticks 2 to 15 are at their rest; those of the student are at 0. `change`
/// decides on the sets.
fn sixteen(policy: &Policy<2>, steps: &[Step<2>], change: impl FnOnce(&mut Policy<16>)) -> Vec<Outcome<16>> {
    let mut rule = policy.axes[0];
    (rule.rest, rule.transfer, rule.window) = (Rest::At(Deflection::from_bits(1)), handback::Transfer::Snap, None);
    let mut wide = Policy::new([rule; 16]);
    (wide.axes[0], wide.axes[1]) = (policy.axes[0], policy.axes[1]);
    (wide.watched, wide.shared, wide.scope, wide.latches) =
        (policy.watched, policy.shared, policy.scope, policy.latches);
    (wide.settle, wide.dwell, wide.fade, wide.pickup_max) =
        (policy.settle, policy.dwell, policy.fade, policy.pickup_max);
    (wide.timeout, wide.requalify, wide.frozen_after) = (policy.timeout, policy.requalify, policy.frozen_after);
    (wide.failsafe_after, wide.late_step) = (policy.failsafe_after, policy.late_step);
    wide.off_first_after_loss = policy.off_first_after_loss;
    change(&mut wide);
    let widen = |frame: Frame<2>, other: i16| {
        let mut wide = [Deflection::from_bits(other); 16];
        wide[..2].copy_from_slice(frame.axes());
        Frame::new(wide)
    };
    let widened = |step: &Step<2>| Step {
        dt: step.dt,
        instructor: step.instructor.map(|frame| widen(frame, 1)),
        student: step.student.map(|frame| widen(frame, 0)),
        switch: step.switch,
        now: step.now,
    };
    let steps: Vec<Step<16>> = steps.iter().map(widened).collect();
    outcomes(&wide, &steps)
}

/// Given any flight with 2 axes, when 14 axes are added that are neither watched nor shared, then every outcome of the
/// two is the same.
#[test]
fn axes_that_are_not_watched_or_shared_decide_nothing() {
    let mut student = 0;
    fly::<2>(AxisSet::first(2), |_, policy, steps| {
        let plain = outcomes(&policy, &steps);
        assert_flown(&plain, &mut student);
        let wide = sixteen(&policy, &steps, |_| {});
        assert_eq!(wide.iter().map(of_two).collect::<Vec<_>>(), plain, "{policy:?}");
    });
    assert!(student > 20_000, "{student}");
}

/// Given any flight with 2 axes, when 14 axes are added that are watched, not shared, and rest, then every outcome of
/// the two is the same.
#[test]
fn watched_axes_that_rest_decide_nothing() {
    let mut student = 0;
    fly::<2>(AxisSet::first(2), |_, policy, steps| {
        let plain = outcomes(&policy, &steps);
        assert_flown(&plain, &mut student);
        let rest = AxisSet::ALL.except(AxisSet::first(2));
        let wide = sixteen(&policy, &steps, |wide| wide.watched = wide.watched | rest);
        assert_eq!(wide.iter().map(of_two).collect::<Vec<_>>(), plain, "{policy:?}");
    });
    assert!(student > 20_000, "{student}");
}

/// Given any flight with 2 axes in scope `Craft` of which one is shared, when 14 axes are added that are watched and
/// shared, and rest, then every outcome of the two is the same.
#[test]
fn shared_axes_that_rest_decide_nothing_in_scope_craft() {
    let mut student = 0;
    fly::<2>(AxisSet::first(2), |_, policy, steps| {
        if policy.scope == handback::Scope::Axis || policy.shared.is_empty() {
            return;
        }
        let plain = outcomes(&policy, &steps);
        assert_flown(&plain, &mut student);
        let rest = AxisSet::ALL.except(AxisSet::first(2));
        let wide = sixteen(&policy, &steps, |wide| {
            (wide.watched, wide.shared) = (wide.watched | rest, wide.shared | rest);
        });
        assert_eq!(wide.iter().map(of_two).collect::<Vec<_>>(), plain, "{policy:?}");
    });
    assert!(student > 10_000, "{student}");
}

/// Given any flight with 4 axes and fixed rests, then each stick is held in the same steps as that of an engine with this
/// axis alone.
#[test]
fn a_stick_is_held_by_its_own_frames_alone() {
    let mut held = 0;
    fly::<4>(AxisSet::EMPTY, |_, mut policy, steps| {
        for rule in &mut policy.axes {
            if let Rest::WhereLeft { .. } = rule.rest {
                rule.rest = Rest::At(Deflection::CENTRE);
            }
        }
        let plain = outcomes(&policy, &steps);
        for axis in policy.watched.iter() {
            let mut single = Policy::new([policy.axes[usize::from(axis)]]);
            (single.timeout, single.failsafe_after) = (policy.timeout, policy.failsafe_after);
            single.late_step = policy.late_step;
            let only = |frame: Frame<4>| Frame::new([frame.axes()[usize::from(axis)]]);
            let alone: Vec<Step<1>> = steps
                .iter()
                .map(|step| Step {
                    dt: step.dt,
                    instructor: step.instructor.map(only),
                    student: step.student.map(only),
                    switch: step.switch,
                    now: step.now,
                })
                .collect();
            for (wide, single) in plain.iter().zip(outcomes(&single, &alone)) {
                assert_eq!(wide.held.contains(axis), single.held.contains(0), "{policy:?} axis {axis}");
                held += u64::from(wide.held.contains(axis));
            }
        }
    });
    assert!(held > 20_000, "{held}");
}
