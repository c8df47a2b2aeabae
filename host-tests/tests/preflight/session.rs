//! A whole session: transmitters, people, engine, preflight and monitor, and what must hold in each step of it.

use handback::preflight::{Action, Finding, Obstacle, Preflight, PreflightProgress, Side, Verdict};
use handback::{AxisSet, CheckedPolicy, Deflection, Engine, Inputs, Instant, Outcome, Policy, Rest};
use handback_host_tests::Random;
use handback_monitor::{Broken, Monitor};

use crate::people::Desk;
use crate::transmitter::{Fault, Stick, Transmitter, in_points};

/// What came of a session.
#[derive(Clone, Debug, Default)]
pub(crate) struct Report {
    pub(crate) ended: Vec<(Action, Verdict)>,
    pub(crate) findings: Vec<Finding>,
    /// The number of findings that found no room.
    pub(crate) untold: u16,
    /// What the monitor says of the outcomes that the preflight was given.
    pub(crate) broken: Vec<Broken>,
    pub(crate) obstacles: Vec<Obstacle>,
    pub(crate) done: bool,
    pub(crate) passed: bool,
    pub(crate) seconds: f64,
}

/// A session that is about to begin. `N` axes.
pub(crate) struct Session<const N: usize> {
    /// What the preflight goes by.
    policy: CheckedPolicy<N>,
    /// What the engine flies.
    flown: CheckedPolicy<N>,
    pub(crate) student: Transmitter<N>,
    pub(crate) instructor: Transmitter<N>,
    pub(crate) random: Random,
    pub(crate) button: bool,
    /// What the student's sticks are meant to have, if less than all.
    pub(crate) throws: Option<[Deflection; N]>,
    desk: Desk,
    engages: [f64; N],
    /// Microseconds from step to step, and from frame to frame in steps.
    step_us: u32,
    frame_steps: u32,
}

/// What a test does to a step: the engine's outcome, the step asked for, the time in seconds.
pub(crate) type Meddle<'a, const N: usize> = dyn FnMut(&mut Session<N>, &PreflightProgress<N>, f64) + 'a;

impl<const N: usize> Session<N> {
    pub(crate) fn new(policy: Policy<N>, seed: u64) -> Self {
        let policy = policy.check().unwrap_or_else(|why| panic!("{why}"));
        let mut random = Random::new(seed);
        let sticks = std::array::from_fn(|axis| {
            let rule = &policy.policy().axes[axis];
            let rest = match rule.rest {
                Rest::At(rest) => in_points(rest),
                Rest::WhereLeft { .. } => in_points(rule.failsafe),
            };
            let unsprung = rest.abs() >= 50.0 || matches!(rule.rest, Rest::WhereLeft { .. });
            let at = if unsprung { rest } else { 0.0 };
            let throw = [1.0; 2];
            let (reversed, dead, off) = (false, false, 0.0);
            Stick { at, target: at, speed: 0.0, rest, unsprung, axis, reversed, off, throw, dead }
        });
        let transmitter = Transmitter { sticks, on: true, noise: 0.3, repeats: false, last: None };
        let engages = std::array::from_fn(|axis| in_points(policy.policy().axes[axis].engage));
        let (step_us, frame_steps) = [(20_000, 1), (5000, 4), (1000, 22), (11_000, 1)][random.below(4)];
        Self {
            policy,
            flown: policy,
            student: transmitter.clone(),
            instructor: transmitter,
            random,
            button: true,
            throws: None,
            desk: Desk::default(),
            engages,
            step_us,
            frame_steps,
        }
    }

    /// The engine flies another policy than the preflight goes by.
    pub(crate) fn flown(mut self, change: impl FnOnce(&mut Policy<N>)) -> Self {
        let mut flown = *self.policy.policy();
        change(&mut flown);
        self.flown = flown.check().unwrap_or_else(|why| panic!("{why}"));
        self
    }

    pub(crate) fn with(mut self, faults: &[Fault]) -> Self {
        for fault in faults {
            fault.inject(&mut self.student, &mut self.instructor);
        }
        self
    }

    pub(crate) fn run(self) -> Report {
        let as_agreed = self.policy.policy() == self.flown.policy();
        let report = self.run_with(&mut |_, _, _| {}, |outcome| outcome);
        assert!(!as_agreed || report.broken.is_empty(), "{}", report.broken[0]);
        report
    }

    /// Runs it, with a hand in it before each step and on each outcome.
    pub(crate) fn run_with(
        mut self,
        meddle: &mut Meddle<'_, N>,
        mut tamper: impl FnMut(Outcome<N>) -> Outcome<N>,
    ) -> Report {
        let (policy, flown) = (self.policy, self.flown);
        let mut engine = Engine::new(&flown);
        let (mut preflight, mut monitor) = (Preflight::new(&policy), Monitor::new(&policy));
        if !self.button {
            preflight = preflight.without_button();
        }
        if let Some(throws) = self.throws {
            preflight = preflight.with_student_throws(throws);
        }
        let failsafe = policy.failsafe_frame();
        let mut report = Report::default();
        let (mut n, seconds) = (0_u32, f64::from(self.step_us) / 1e6);
        // Begins just before the clock wraps.
        let start = 0_u32.wrapping_sub(3_000_000);
        let phase = self.random.below(self.frame_steps as usize);
        while report.seconds < 900.0 && !report.done {
            let step = self.frame_steps;
            self.student.pass(seconds);
            self.instructor.pass(seconds);
            self.desk.pass(seconds, &mut self.student, &mut self.instructor);
            let instructor = (n % step == 0 && self.instructor.on).then(|| self.instructor.frame(&mut self.random));
            let student = (n as usize + phase).is_multiple_of(step as usize);
            let student = student.then(|| self.student.receive(&mut self.random)).flatten();
            let inputs = Inputs {
                instructor: instructor.as_ref(),
                student: student.as_ref(),
                lesson_switch: self.desk.switch,
                instructor_now: self.desk.button,
            };
            let now = Instant::from_ticks(start.wrapping_add(n.wrapping_mul(self.step_us)));
            let outcome = tamper(engine.step(now, inputs));
            report.broken.extend(monitor.step(now, &inputs, &outcome).err());
            let progress = preflight.step(inputs, &outcome);
            held_to(&policy, preflight.pinned(), &outcome, &progress, &failsafe);
            if progress.begun {
                let Self { student, instructor, random, engages, desk, .. } = &mut self;
                desk.hear(progress.step, engages, student, instructor, random);
            }
            meddle(&mut self, &progress, report.seconds);
            report.ended.extend(progress.ended);
            report.obstacles.extend(progress.obstacle);
            report.done = progress.step == Action::Done;
            report.seconds += seconds;
            n += 1;
        }
        report.findings = preflight.findings().to_vec();
        report.untold = preflight.untold();
        report.passed = preflight.passed();
        report
    }
}

/// In every step of every session: the throttle is sent its safe end, everything else what the engine says.
fn held_to<const N: usize>(
    policy: &CheckedPolicy<N>,
    pinned: AxisSet,
    outcome: &Outcome<N>,
    progress: &PreflightProgress<N>,
    failsafe: &handback::Frame<N>,
) {
    for (axis, rule) in (0..).zip(&policy.policy().axes) {
        let unsprung = matches!(rule.rest, Rest::WhereLeft { .. });
        assert!(!unsprung || pinned.contains(axis), "axis {axis} has no spring and is not pinned");
        let expected = if pinned.contains(axis) { failsafe.get(axis) } else { outcome.output.get(axis) };
        assert_eq!(progress.output.get(axis), expected, "axis {axis} in {:?}", progress.step);
    }
}

/// Every fault is named, and nothing else is.
pub(crate) fn named(faults: &[Fault], report: &Report) {
    assert!(report.done, "not through after {} s: {:#?}", report.seconds, report.ended.last());
    for fault in faults {
        assert!(
            report.findings.iter().any(|finding| fault.is_named_by(finding)),
            "{fault:?} is not named of {faults:?}: {:#?}",
            report.findings
        );
    }
    for finding in &report.findings {
        assert!(faults.iter().any(|fault| fault.is_named_by(finding)), "{finding:?} without a fault; {faults:?}");
    }
    assert_eq!(report.passed, faults.is_empty());
}

/// Both sides.
pub(crate) const SIDES: [Side; 2] = [Side::Student, Side::Instructor];
