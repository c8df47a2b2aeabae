//! Sticks moved at random, frames of any number, clocks that jump: no panic, and the throttle never out.

use handback::preflight::{Action, Preflight};
use handback::{
    AxisRule, AxisSet, Cause, Deflection, Engine, Frame, Inputs, Instant, Latches, Outcome, Policy, Rest, Scope,
};
use handback_host_tests::{Random, ms, points, unsprung, us, with};
use handback_monitor::Monitor;

use crate::healthy::four;
use crate::session::Session;

/// Given any frames at any time, when the check runs, then it never panics and the throttle stays safe.
/// Rules: N1
#[test]
fn any_frames_at_any_time_keep_the_throttle_safe() {
    let mut policy = four();
    policy.scope = Scope::Axis;
    policy.axes[3] = with!(unsprung(), rest: Rest::At(points(-140)));
    for policy in [four(), policy] {
        let policy = policy.check().expect("a good policy");
        for seed in 0..200 {
            let mut random = Random::new(seed);
            let (mut engine, mut preflight, mut now) = (Engine::new(&policy), Preflight::new(&policy), 0_u32);
            for _ in 0..2000 {
                let jump = random.chance(0.01);
                #[allow(clippy::cast_possible_truncation)]
                let dt = if jump { random.next() as u32 } else { random.next() as u32 % 60_000 };
                now = now.wrapping_add(dt);
                let any = |random: &mut Random| {
                    #[allow(clippy::cast_possible_truncation)]
                    let bits = std::array::from_fn(|_| Deflection::from_bits(random.next() as i16));
                    random.chance(0.8).then(|| Frame::new(bits))
                };
                let (instructor, student) = (any(&mut random), any(&mut random));
                let inputs = Inputs {
                    instructor: instructor.as_ref(),
                    student: student.as_ref(),
                    lesson_switch: random.chance(0.7),
                    instructor_now: random.chance(0.1),
                };
                let outcome = engine.step(Instant::from_ticks(now), inputs);
                safe(&policy, &preflight.step(inputs, &outcome).output, &preflight);
            }
        }
    }
}

fn safe<const N: usize>(
    policy: &handback::CheckedPolicy<N>,
    output: &Frame<N>,
    preflight: &Preflight<N, &handback::CheckedPolicy<N>>,
) {
    for axis in preflight.pinned().iter() {
        assert_eq!(output.get(axis), policy.failsafe_frame().get(axis));
    }
    assert!(!preflight.pinned().is_empty());
}

/// Given people who move any stick anywhere and turn transmitters off at any time, when the check has begun, then it
/// comes to its end and the throttle stays safe.
#[test]
fn random_hands_cannot_stop_a_check_that_has_begun() {
    for seed in 0..60 {
        let mut hands = Random::new(seed ^ 0xf00d);
        let report = Session::new(four(), seed).run_with(
            &mut |session, progress, _| {
                if progress.step == Action::Start || !hands.chance(0.02) {
                    return;
                }
                let transmitter = if hands.chance(0.5) { &mut session.student } else { &mut session.instructor };
                let stick = &mut transmitter.sticks[hands.below(4)];
                (stick.target, stick.speed) = (hands.between(-100.0, 100.0), hands.between(10.0, 1000.0));
                if hands.chance(0.01) {
                    transmitter.on ^= true;
                }
            },
            |outcome| outcome,
        );
        assert!(report.done, "{:?}", report.ended.last());
    }
}

/// Given outcomes that no engine gives, when the check sees them, then it does not panic and comes to its end.
/// Rules: N1
#[test]
fn outcomes_of_another_engine_cause_no_panic() {
    let policy: Policy<4> = four();
    for seed in 0..20 {
        let mut random = Random::new(seed);
        let mut last: Option<Outcome<4>> = None;
        let report = Session::new(policy, seed).run_with(&mut |_, _, _| {}, |outcome| {
            let given = last.filter(|_| random.chance(0.05)).map_or(outcome, |last| Outcome { at: outcome.at, ..last });
            last = Some(outcome);
            given
        });
        assert!(report.done, "{:?}", report.ended.last());
    }
}

/// Any policy of four sticks, with any rests, latches and delays.
fn any_policy(random: &mut Random) -> Policy<4> {
    let mut rule = || {
        let rest = match random.below(3) {
            0 => Rest::At(points(0)),
            1 => Rest::At(points(-100)),
            _ => Rest::WhereLeft { still: ms(random.below(900).try_into().expect("small")) },
        };
        let confirm = [1, 1, 2, 3][random.below(4)];
        with!(AxisRule::sprung(), rest: rest, confirm: confirm, keep: random.chance(0.2))
    };
    let mut policy = Policy::new([rule(), rule(), rule(), rule()]);
    policy.scope = [Scope::Craft, Scope::Axis][random.below(2)];
    let mut delay = || ms(random.below(500).try_into().expect("small"));
    (policy.dwell, policy.settle, policy.requalify, policy.fade) = (delay(), delay(), delay(), delay());
    policy.settle = policy.settle.max(us(1));
    let lasted = random.chance(0.3).then(|| ms(1500));
    policy.latches = Latches { lasted, beyond: random.chance(0.3).then(|| points(60)) };
    policy.off_first_after_loss = random.chance(0.5);
    policy
}

/// Given any lesson, also with signals that fail and clocks that jump, when the engine flies the policy of the check,
/// then the monitor names no rule.
/// Rules: T1, T2, T3, R2, R3, H1, H2, S2, L1
#[test]
fn the_engine_never_breaks_a_rule_of_its_policy() {
    let (mut takeovers, mut losses) = (0, 0);
    for seed in 0..300 {
        let mut random = Random::new(seed ^ 0xbe9c);
        let policy = any_policy(&mut random).check().expect("a good policy");
        let rests = policy.policy().axes.map(|rule| match rule.rest {
            Rest::At(rest) => rest,
            Rest::WhereLeft { .. } => rule.failsafe,
        });
        let (mut engine, mut preflight, mut now) = (Engine::new(&policy), Preflight::new(&policy), 0_u32);
        let mut monitor = Monitor::new(&policy);
        let (mut instructor, mut switch, mut transmits) = (rests, false, [true; 2]);
        for n in 0..4000 {
            let gap = n > 100 && random.chance(0.001);
            now = now.wrapping_add(if gap { 700_000 } else { 20_000 });
            if n > 100 {
                switch ^= random.chance(if switch { 0.002 } else { 0.05 });
                for on in &mut transmits {
                    *on ^= random.chance(if *on { 0.002 } else { 0.05 });
                }
                if random.chance(0.03) {
                    instructor = rests;
                    if random.chance(0.5) {
                        let stick = &mut instructor[random.below(4)];
                        *stick = off(*stick, random.between(-10_000.0, 10_000.0));
                    }
                }
            }
            let frame = Frame::new(instructor.map(|x| off(x, random.between(0.0, 60.0))));
            let student = Frame::new(rests);
            let inputs = Inputs {
                instructor: Some(&frame).filter(|_| transmits[0] && random.chance(0.95)),
                student: Some(&student).filter(|_| transmits[1] && random.chance(0.95)),
                lesson_switch: switch,
                instructor_now: n > 100 && random.chance(0.002),
            };
            let at = Instant::from_ticks(now);
            let outcome = engine.step(at, inputs);
            let judged = monitor.step(at, &inputs, &outcome);
            assert!(judged.is_ok(), "lesson {seed}, step {n}: {judged:?} with {:?}", policy.policy());
            takeovers += u32::from(outcome.event.is_some_and(|event| matches!(event.cause, Cause::Stick(_))));
            losses += u32::from(outcome.instructor_lost);
            let output = preflight.step(inputs, &outcome).output;
            assert!(preflight.pinned().iter().all(|axis| output.get(axis) == policy.failsafe_frame().get(axis)));
        }
    }
    assert!(takeovers > 500 && losses > 500, "{takeovers} takeovers, {losses} steps without the instructor's signal");
}

/// So many units further.
#[allow(clippy::cast_possible_truncation)] // it saturates
fn off(x: Deflection, units: f64) -> Deflection {
    Deflection::from_bits(x.to_bits().saturating_add(units as i16))
}

/// Given a throttle with a spring to its middle, when its safe place is far from there, then the output is the safe
/// place all the same.
#[test]
fn a_sprung_throttle_is_sent_its_safe_end() {
    let mut policy = four();
    policy.axes[2] = with!(AxisRule::sprung(), failsafe: points(-100));
    let policy = policy.check().expect("a good policy");
    let (mut engine, mut preflight) = (Engine::new(&policy), Preflight::new(&policy));
    assert_eq!(preflight.pinned(), AxisSet::EMPTY.with(2));
    let frame = Frame::new([0, 0, 80, 0].map(points));
    let inputs = Inputs { instructor: Some(&frame), student: Some(&frame), ..Inputs::default() };
    for n in 0..200 {
        let outcome = engine.step(Instant::from_ticks(n * 20_000), inputs);
        assert_eq!(outcome.output.axes()[2], points(80));
        assert_eq!(preflight.step(inputs, &outcome).output.axes()[2], points(-100));
    }
}
