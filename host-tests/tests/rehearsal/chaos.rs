//! Sticks moved at random, frames of any number, clocks that jump: no panic, and the throttle never out.

use handback::rehearsal::{Rehearsal, Step};
use handback::{AxisRule, Deflection, Engine, Frame, Inputs, Instant, Outcome, Policy, Rest, Scope};
use handback_host_tests::{points, unsprung};

use crate::healthy::four;
use crate::session::Session;
use crate::transmitter::Random;

/// Rules: N1
#[test]
fn given_any_frames_at_any_time_when_the_check_runs_then_it_never_panics_and_the_throttle_stays_safe() {
    let mut policy = four();
    policy.scope = Scope::Axis;
    policy.axes[3] = AxisRule { rest: Rest::At(points(-140)), ..unsprung() };
    for policy in [four(), policy] {
        let policy = policy.check().expect("a good policy");
        for seed in 0..200 {
            let mut random = Random(seed);
            let (mut engine, mut rehearsal, mut now) = (Engine::new(&policy), Rehearsal::new(&policy), 0_u32);
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
                safe(&policy, &rehearsal.step(inputs, &outcome).output, &rehearsal);
            }
        }
    }
}

fn safe<const N: usize>(policy: &handback::CheckedPolicy<N>, output: &Frame<N>, rehearsal: &Rehearsal<'_, N>) {
    for axis in rehearsal.pinned().iter() {
        assert_eq!(output.get(axis), policy.failsafe_frame().get(axis));
    }
    assert!(!rehearsal.pinned().is_empty());
}

/// Given people who fumble: any stick to any place, switch and button and transmitter at any time, once the check has
/// begun. Then it ends all the same, in its own time.
#[test]
fn given_hands_that_move_at_random_when_the_check_has_begun_then_it_comes_to_its_end_and_the_throttle_stays_safe() {
    for seed in 0..60 {
        let mut hands = Random(seed ^ 0xf00d);
        let report = Session::new(four(), seed).run_with(
            &mut |session, progress, _| {
                if progress.step == Step::Start || !hands.chance(0.02) {
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

/// Given outcomes that no engine gives, the check says so and nothing worse.
///
/// Rules: N1
#[test]
fn given_outcomes_of_another_engine_when_the_check_sees_them_then_it_does_not_panic() {
    let policy: Policy<4> = four();
    for seed in 0..20 {
        let mut random = Random(seed);
        let mut last: Option<Outcome<4>> = None;
        let report = Session::new(policy, seed).run_with(&mut |_, _, _| {}, |outcome| {
            let given = last.filter(|_| random.chance(0.05)).map_or(outcome, |last| Outcome { at: outcome.at, ..last });
            last = Some(outcome);
            given
        });
        assert!(report.done, "{:?}", report.ended.last());
    }
}
