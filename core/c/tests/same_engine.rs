//! The C interface flies the same engine: every outcome of random lessons is that of the engine with exactly the axes
//! of the policy, whichever engine of the library flew it.
#![allow(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::unwrap_used)]

mod common;

use handback::{Deflection, Duration, Engine, Instant, Latches};
use handback_c::frame::{Frame, Inputs, MAX_AXES};
use handback_c::interface::handback_engine_size;
use handback_c::outcome::{Cause, Outcome};
use handback_c::policy::{AxisRule, Policy};

use common::{Memory, sprung, step};

/// Few under an interpreter that checks every memory access.
const LESSONS: u32 = if cfg!(miri) { 1 } else { 300 };
const STEPS: u32 = if cfg!(miri) { 40 } else { 400 };

/// Marsaglia's xorshift with the shifts 13, 17, 5 (Journal of Statistical Software 8 (2003), number 14; from memory).
struct Random(u32);

impl Random {
    fn below(&mut self, end: u32) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 17;
        self.0 ^= self.0 << 5;
        self.0 % end
    }

    fn one_in(&mut self, n: u32) -> bool {
        self.below(n) == 0
    }

    fn within(&mut self, reach: i16) -> i16 {
        i16::try_from(self.below(2 * u32::from(reach.unsigned_abs()) + 1)).unwrap_or(i16::MAX).saturating_sub(reach)
    }

    fn flag(&mut self, n: u32) -> u8 {
        self.one_in(n).into()
    }
}

fn any_rule(random: &mut Random) -> AxisRule {
    AxisRule {
        engage: 328,
        release: 164,
        confirm: 1 + random.flag(8),
        rest_kind: random.flag(6),
        rest: random.within(300),
        still: 20_000,
        transfer: random.flag(3),
        keep: random.flag(20),
        has_window: random.flag(20),
        window: 2_000,
        failsafe: random.within(16_384),
    }
}

/// A policy that passes its check, mostly with all axes shared. Past its last axis it holds invalid values.
fn any_policy(count: u8, random: &mut Random) -> Policy {
    let mut policy = sprung(count);
    policy.axes = [AxisRule { rest_kind: 77, transfer: 99, ..AxisRule::default() }; MAX_AXES];
    for rule in policy.axes.iter_mut().take(count.into()) {
        *rule = any_rule(random);
    }
    let some = u16::try_from(random.below(1 << 16)).unwrap() & policy.watched;
    policy.scope = random.flag(2);
    if random.one_in(4) && some != 0 {
        policy.shared = some;
    }
    if random.one_in(4) && policy.scope == 0 && some != 0 {
        policy.watched = some;
    }
    Policy {
        settle: 20_000,
        dwell: 10_000 * random.below(5),
        fade: 10_000 * random.below(9),
        pickup_max: 10_000 * random.below(30),
        requalify: 10_000 * random.below(5),
        has_frozen_after: random.flag(4),
        frozen_after: 10_000 * (1 + random.below(50)),
        off_first_after_loss: random.flag(2),
        has_lasted: random.flag(5),
        has_beyond: random.flag(5),
        lasted: 70_000,
        beyond: 6_000,
        ..policy
    }
}

fn deflection(bits: i16) -> Deflection {
    Deflection::from_bits(bits)
}

/// The same policy in Rust, field by field.
fn in_rust<const N: usize>(policy: &Policy) -> handback::Policy<N> {
    let mut axes = [handback::AxisRule::sprung(); N];
    for (rule, given) in axes.iter_mut().zip(&policy.axes) {
        rule.engage = deflection(given.engage);
        rule.release = deflection(given.release);
        rule.confirm = given.confirm;
        rule.rest = match given.rest_kind {
            0 => handback::Rest::At(deflection(given.rest)),
            _ => handback::Rest::WhereLeft { still: Duration::from_ticks(given.still) },
        };
        rule.transfer = [handback::Transfer::Snap, handback::Transfer::Pickup][usize::from(given.transfer)];
        rule.keep = given.keep == 1;
        rule.window = if given.has_window == 1 { Some(deflection(given.window)) } else { None };
        rule.failsafe = deflection(given.failsafe);
    }
    let mut rust = handback::Policy::new(axes);
    rust.watched = handback::AxisSet::from_bits(policy.watched);
    rust.shared = handback::AxisSet::from_bits(policy.shared);
    rust.scope = [handback::Scope::Craft, handback::Scope::Axis][usize::from(policy.scope)];
    rust.plausible = deflection(policy.plausible);
    rust.settle = Duration::from_ticks(policy.settle);
    rust.dwell = Duration::from_ticks(policy.dwell);
    rust.fade = Duration::from_ticks(policy.fade);
    rust.pickup_max = Duration::from_ticks(policy.pickup_max);
    rust.timeout = Duration::from_ticks(policy.timeout);
    rust.requalify = Duration::from_ticks(policy.requalify);
    rust.frozen_after = (policy.has_frozen_after == 1).then_some(Duration::from_ticks(policy.frozen_after));
    rust.failsafe_after = Duration::from_ticks(policy.failsafe_after);
    rust.late_step = Duration::from_ticks(policy.late_step);
    rust.off_first_after_loss = policy.off_first_after_loss == 1;
    rust.latches = Latches {
        lasted: (policy.has_lasted == 1).then_some(Duration::from_ticks(policy.lasted)),
        beyond: (policy.has_beyond == 1).then_some(deflection(policy.beyond)),
    };
    rust
}

/// Sticks for the next step. Past the last axis they hold values that would make the frame bad.
fn sticks(policy: &Policy, rest: bool, random: &mut Random) -> Frame {
    let mut frame = Frame { axes: [i16::MIN; MAX_AXES] };
    let bad = random.one_in(80);
    for (stick, rule) in frame.axes.iter_mut().zip(&policy.axes).take(policy.axis_count.into()) {
        *stick = match (bad, rest) {
            (true, _) => 30_000,
            (_, true) => rule.rest,
            _ => random.within(9_000),
        };
    }
    frame
}

fn frame_in_rust<const N: usize>(frame: &Frame) -> handback::Frame<N> {
    let mut axes = [Deflection::CENTRE; N];
    axes.iter_mut().zip(frame.axes).for_each(|(axis, bits)| *axis = deflection(bits));
    handback::Frame::new(axes)
}

/// Flies random lessons both ways and returns how often the student flew and how often the instructor took over.
fn fly<const N: usize>() -> (u32, u32) {
    let count = u8::try_from(N).unwrap();
    let mut random = Random(u32::from(count) * 7919);
    let (mut flew, mut took) = (0, 0);
    for lesson in 0..LESSONS {
        let policy = any_policy(count, &mut random);
        let checked = in_rust::<N>(&policy).check().unwrap();
        let mut engine = Engine::new(&checked);
        let memory = Memory::for_axes(count);
        let (status, through_c) = memory.start(&policy);
        assert_eq!(status, handback_c::status::Status::Ok, "{policy:?}");
        let (mut rest, mut now) = (true, random.0);
        let mut instructor = sticks(&policy, true, &mut random);
        for n in 0..STEPS {
            now = now.wrapping_add(if random.one_in(200) { 300_000 } else { 10_000 });
            if random.one_in(12) {
                rest = !random.one_in(3);
            }
            instructor = if random.one_in(3) { sticks(&policy, rest, &mut random) } else { instructor };
            let student = sticks(&policy, false, &mut random);
            let (i, s) = (!random.one_in(9), !random.one_in(9));
            let lesson_switch = if n > 5 && !random.one_in(100) { 1 + random.flag(2) * 127 } else { 0 };
            let instructor_now = random.flag(150) * 128;
            let inputs = Inputs {
                now,
                instructor: if i { &raw const instructor } else { std::ptr::null() },
                student: if s { &raw const student } else { std::ptr::null() },
                lesson_switch,
                instructor_now,
            };
            let said = step(through_c, &inputs).unwrap();
            let (i, s) = (i.then(|| frame_in_rust(&instructor)), s.then(|| frame_in_rust(&student)));
            let outcome = engine.step(
                Instant::from_ticks(now),
                handback::Inputs {
                    instructor: i.as_ref(),
                    student: s.as_ref(),
                    lesson_switch: lesson_switch > 0,
                    instructor_now: instructor_now > 0,
                },
            );
            assert_eq!(said, Outcome::from(&outcome), "{N} axes, lesson {lesson}, step {n}");
            flew += u32::from(said.student_axes != 0);
            took += u32::from(said.has_event == 1 && said.event.cause == Cause::Stick);
        }
    }
    (flew, took)
}

/// Given random policies and lessons of 1 to 16 axes, when they are flown through the C interface, then every outcome
/// is that of the engine, and values past the last axis change nothing.
/// Rules: N2
#[test]
fn every_outcome_is_that_of_the_engine_with_just_these_axes() {
    macro_rules! for_each {
        ($($n:literal)*) => { $(
            if handback_engine_size($n) != 0 && !(cfg!(miri) && $n % 5 != 1) {
                let (flew, took) = fly::<$n>();
                println!("{} axes: the student flew {flew} of {} steps, {took} takeovers", $n, LESSONS * STEPS);
                assert!(cfg!(miri) || (flew > 1_000 && took > 100), "{} axes: nothing worth comparing", $n);
            }
        )* };
    }
    for_each!(1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16);
}
