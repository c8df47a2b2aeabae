//! A policy and the inputs of every step: the engine, the float reference and the monitor of the contract's rules.

use handback::{
    AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Engine, Frame, Inputs, Instant, Latches, Policy, Rest,
    Scope, Transfer, reference::Model,
};
use handback_monitor::Monitor;

use crate::bytes::Bytes;

/// No input needs more steps: one byte may stand for 16 of them.
const MOST_STEPS: u32 = 3_000;

/// What must hold in every step (N1, N3, and every rule that the monitor knows): nothing panics, engine and reference
/// have the same outcome, the output is at most 4.5 units from the unrounded line, and no rule is broken.
pub fn run(bytes: &[u8]) {
    let mut bytes = Bytes::new(bytes);
    match bytes.below(4) {
        0 => fly::<1>(&mut bytes),
        1 => fly::<2>(&mut bytes),
        2 => fly::<4>(&mut bytes),
        _ => fly::<16>(&mut bytes),
    }
}

fn fly<const N: usize>(bytes: &mut Bytes<'_>) {
    let Ok(policy) = policy::<N>(bytes).check() else { return };
    Flight::new(&policy, bytes.four()).fly(bytes);
}

/// A policy that need not pass its check: the defaults, with the fields changed that a set of bits names.
fn policy<const N: usize>(bytes: &mut Bytes<'_>) -> Policy<N> {
    let mut policy = Policy::new([AxisRule::sprung(); N]);
    // Without long waits, a short input reaches everything.
    (policy.settle, policy.dwell) = (bytes.duration(), bytes.duration());
    (policy.fade, policy.requalify) = (bytes.duration(), bytes.duration());
    let changed = bytes.two();
    let is_changed = |field: u8| changed & 1 << field != 0;
    if is_changed(0) {
        policy.watched = AxisSet::from_bits(bytes.two());
    }
    if is_changed(1) {
        policy.shared = AxisSet::from_bits(bytes.two());
    }
    if is_changed(2) {
        policy.scope = Scope::Axis;
    }
    if is_changed(3) {
        policy.plausible = bytes.deflection();
    }
    if is_changed(4) {
        policy.pickup_max = bytes.duration();
    }
    if is_changed(5) {
        policy.timeout = bytes.duration();
    }
    if is_changed(6) {
        policy.frozen_after = Some(bytes.duration());
    }
    if is_changed(7) {
        policy.failsafe_after = bytes.duration();
    }
    if is_changed(8) {
        policy.late_step = bytes.duration();
    }
    policy.off_first_after_loss = is_changed(9);
    if is_changed(10) {
        policy.latches = Latches { lasted: Some(bytes.duration()), beyond: None };
    }
    if is_changed(11) {
        policy.latches.beyond = Some(bytes.deflection());
    }
    let kinds = bytes.below(4);
    for rule in &mut policy.axes[..N.min(usize::from(kinds) + 1)] {
        axis(rule, bytes);
    }
    policy
}

fn axis(rule: &mut AxisRule, bytes: &mut Bytes<'_>) {
    let changed = bytes.byte();
    let is_changed = |field: u8| changed & 1 << field != 0;
    if is_changed(0) {
        rule.engage = bytes.deflection();
    }
    if is_changed(1) {
        rule.release = bytes.deflection();
    }
    if is_changed(2) {
        rule.confirm = bytes.byte();
    }
    if is_changed(3) {
        rule.rest = Rest::WhereLeft { still: bytes.duration() };
    }
    if is_changed(4) {
        rule.transfer = Transfer::Pickup;
    }
    rule.keep = is_changed(5);
    if is_changed(6) {
        rule.window = Some(bytes.deflection());
    }
    if is_changed(7) {
        rule.rest = Rest::At(bytes.deflection());
        rule.failsafe = bytes.deflection();
    }
}

struct Flight<'p, const N: usize> {
    policy: &'p Policy<N>,
    engine: Engine<N, &'p CheckedPolicy<N>>,
    model: Model<N>,
    monitor: Monitor<N>,
    now: u32,
    instructor: Frame<N>,
    student: Frame<N>,
    output: Frame<N>,
    /// What comes in the next steps: the instructor's frames, the student's, the switch, *instructor now*.
    on: [bool; 4],
    pace: u32,
    steps: u32,
}

impl<'p, const N: usize> Flight<'p, N> {
    fn new(policy: &'p CheckedPolicy<N>, start: u32) -> Self {
        let rests =
            policy.policy().axes.map(|rule| if let Rest::At(rest) = rule.rest { rest } else { Deflection::CENTRE });
        Self {
            policy: policy.policy(),
            engine: Engine::new(policy),
            model: Model::new(policy),
            monitor: Monitor::new(policy),
            now: start,
            instructor: Frame::new(rests),
            student: Frame::CENTRE,
            output: Frame::CENTRE,
            on: [true, true, false, false],
            pace: 10_000,
            steps: 0,
        }
    }

    /// Each byte is a change of what comes, or some steps.
    fn fly(&mut self, bytes: &mut Bytes<'_>) {
        while !bytes.is_empty() && self.steps < MOST_STEPS {
            let what = bytes.byte();
            let low = what & 15;
            match what >> 4 {
                0..=4 => self.steps(self.pace, u32::from(low) + 1),
                5 => self.on = [0, 1, 2, 3].map(|bit| low & 1 << bit != 0),
                6 => self.on[usize::from(low % 4)] ^= true,
                7 => self.steps(bytes.duration().as_ticks(), 1),
                8 => self.pace = bytes.duration().as_ticks(),
                9 => self.steps(self.edge(bytes.byte()).wrapping_add_signed(i32::from(low) - 7), 1),
                10 | 11 => {
                    self.instructor.axes_mut()[usize::from(low) % N] = self.aim(usize::from(low) % N, true, bytes);
                }
                12 | 13 => self.student.axes_mut()[usize::from(low) % N] = self.aim(usize::from(low) % N, false, bytes),
                14 => self.hand_over(low),
                _ if low < 8 => self.steps(0, u32::from(low) + 1),
                _ => self.take_back(low, bytes),
            }
        }
    }

    /// The switch off and then on, everything else in order; sticks at rest, or as they are.
    fn hand_over(&mut self, low: u8) {
        if low & 1 == 0 {
            for (stick, rule) in self.instructor.axes_mut().iter_mut().zip(&self.policy.axes) {
                if let Rest::At(rest) = rule.rest {
                    *stick = rest;
                }
            }
        }
        self.on = [true, true, false, false];
        self.steps(10_000, 8);
        self.on[2] = true;
        self.steps(10_000, u32::from(low) * 4);
    }

    /// The switch off, for some steps; then every stick of the instructor near the output, a step after each (T6).
    fn take_back(&mut self, low: u8, bytes: &mut Bytes<'_>) {
        self.on = [true, true, false, false];
        self.steps(self.pace, u32::from(low & 3) + 1);
        for _ in 0..=low >> 2 & 1 {
            for axis in 0..N.min(4) {
                self.instructor.axes_mut()[axis] = self.aim(axis, true, bytes);
                self.steps(self.pace, 1);
            }
        }
    }

    /// Where a stick is put: beside a place that matters, or anywhere.
    fn aim(&self, axis: usize, instructors: bool, bytes: &mut Bytes<'_>) -> Deflection {
        let (rule, what) = (&self.policy.axes[axis], bytes.byte());
        let other = if instructors { self.student } else { self.instructor };
        let rest = if let Rest::At(rest) = rule.rest { rest } else { self.instructor.axes()[axis] };
        let own = if instructors { self.instructor } else { self.student };
        let (from, by) = match (what & 15) % 10 {
            0 => return bytes.deflection(),
            1 => (rest, Deflection::CENTRE),
            2 => (rest, rule.engage),
            3 => (rest, rule.release),
            4 => (rest, self.policy.latches.beyond.unwrap_or_default()),
            5 => (other.axes()[axis], rule.window.unwrap_or_default()),
            6 => (self.output.axes()[axis], Deflection::CENTRE),
            7 => (self.output.axes()[axis], rule.engage),
            8 => (Deflection::CENTRE, self.policy.plausible),
            // How far it moves away from where it is (T6.6).
            _ => (own.axes()[axis], rule.engage),
        };
        // Bits 4 to 7 of this byte: the side, and from -3 to 4 units beside it.
        let sign = if what & 128 == 0 { 1 } else { -1 };
        let beside = i32::from(what >> 4 & 7) - 3;
        let bits = i32::from(from.to_bits()) + sign * i32::from(by.to_bits()) + beside;
        Deflection::from_bits(i16::try_from(bits.clamp(i16::MIN.into(), i16::MAX.into())).expect("clamped"))
    }

    /// One of the policy's durations.
    fn edge(&self, which: u8) -> u32 {
        let policy = self.policy;
        let still = policy.axes.iter().find_map(|rule| match rule.rest {
            Rest::WhereLeft { still } => Some(still),
            Rest::At(_) => None,
        });
        let none = Duration::from_ticks(0);
        let all = [
            policy.settle,
            policy.dwell,
            policy.fade,
            policy.pickup_max,
            policy.timeout,
            policy.requalify,
            policy.failsafe_after,
            policy.late_step,
            policy.frozen_after.unwrap_or(none),
            policy.latches.lasted.unwrap_or(none),
            still.unwrap_or(none),
        ];
        all[usize::from(which) % all.len()].as_ticks()
    }

    fn steps(&mut self, dt: u32, count: u32) {
        for _ in 0..count {
            self.step(dt);
        }
    }

    fn step(&mut self, dt: u32) {
        self.now = self.now.wrapping_add(dt);
        self.steps += 1;
        let (instructor, student) = (self.instructor, self.student);
        let [instructors, students, lesson_switch, instructor_now] = self.on;
        let inputs = Inputs {
            instructor: instructors.then_some(&instructor),
            student: students.then_some(&student),
            lesson_switch,
            instructor_now,
        };
        let now = Instant::from_ticks(self.now);
        let outcome = self.engine.step(now, inputs);
        let model = self.model.step(now, inputs);
        assert_eq!(outcome, model, "N3: engine (left) and reference (right) in step {} with {inputs:?}", self.steps);
        if let Err(broken) = self.monitor.step(now, &inputs, &outcome) {
            panic!("step {} with {inputs:?}: {broken}", self.steps);
        }
        for (axis, output) in (0..).zip(outcome.output.axes()) {
            let ideal = self.model.ideal(axis).expect("an axis of the frame") * 16_384.0;
            let off = (ideal - f64::from(output.to_bits())).abs();
            assert!(off <= 4.5, "N3: step {}, axis {axis}: {off} units off the unrounded line", self.steps);
        }
        self.output = outcome.output;
    }
}
