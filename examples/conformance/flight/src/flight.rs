//! Flies the engine, and beside it the reference where they are to be compared.

#[cfg(feature = "reference")]
use handback::reference::Model;
use handback::{CheckedPolicy, Deflection, Engine, Frame, Inputs, Instant, Outcome};

use crate::aim::Sight;
use crate::log::{Log, Step};
use crate::random::Random;
use crate::recorded;
use crate::segment::{Hand, Segment, rest};
use crate::{policy, refusal};

/// Flies one flight: 0 are the policies that are refused, 1 to 4 the recorded lesson, all other numbers random flights.
pub fn fly(number: u32, log: &mut Log<'_>) {
    log.begin(number);
    match number {
        0 => refusal::check_all(log),
        1..=recorded::POLICIES => recorded::fly(number, log),
        _ => match axes_of(number) {
            1 => fly_any::<1>(number, log),
            4 => fly_any::<4>(number, log),
            8 => fly_any::<8>(number, log),
            _ => fly_any::<16>(number, log),
        },
    }
    log.end();
}

/// The number of axes of a random flight.
fn axes_of(number: u32) -> usize {
    match number % 4 {
        0 => 1,
        1 => 4,
        2 => 8,
        _ => 16,
    }
}

/// A random policy through a random trace.
fn fly_any<const N: usize>(number: u32, log: &mut Log<'_>) {
    let Some(drawn) = Drawn::<N>::of(number) else { return };
    let mut engine = Engine::new(drawn.policy());
    drawn.fly(log, &mut |now, inputs| engine.step(now, inputs));
}

/// The function that takes the steps of a flight: the engine, or a bench that measures it.
pub type Take<'t, const N: usize> = dyn FnMut(Instant, Inputs<'_, N>) -> Outcome<N> + 't;

/// A random flight before it is flown: its policy, and what its trace is drawn from.
#[derive(Clone, Debug)]
pub struct Drawn<const N: usize> {
    policy: CheckedPolicy<N>,
    random: Random,
}

impl<const N: usize> Drawn<N> {
    /// The random flight of this number; `None` where it is of another kind or has another number of axes.
    pub fn of(number: u32) -> Option<Self> {
        let mut random = Random::new(number);
        if number <= recorded::POLICIES || axes_of(number) != N {
            return None;
        }
        // A drawn policy always passes its check; if one did not, its steps would be missing from the digest.
        let policy = policy::any(&mut random).check().ok()?;
        Some(Self { policy, random })
    }

    /// Another flight, in which every rule of the contract has work on every axis. It is not part of any digest.
    pub fn with_everything_on(seed: u32) -> Option<Self> {
        let mut random = Random::new(seed);
        let policy = policy::everything_on(&mut random).check().ok()?;
        Some(Self { policy, random })
    }

    /// Its policy.
    pub fn policy(&self) -> &CheckedPolicy<N> {
        &self.policy
    }

    /// Flies it: draws each step from the outcomes of the steps before.
    pub fn fly(&self, log: &mut Log<'_>, take: &mut Take<'_, N>) {
        let mut random = self.random.clone();
        let start = match random.weighted([3, 1, 1]) {
            0 => 0,
            1 => u32::MAX - 500_000,
            _ => random.next(),
        };
        let flight = Flight::new(&self.policy, start, take);
        let mut trace = Trace { flight, instructor: Frame::CENTRE, student: Frame::CENTRE };
        trace.rest();
        for _ in 0..=random.below(40) {
            trace.segment(&mut random, log);
        }
    }
}

/// One flight in the air.
pub(crate) struct Flight<'p, const N: usize> {
    policy: &'p CheckedPolicy<N>,
    take: &'p mut Take<'p, N>,
    #[cfg(feature = "reference")]
    model: Model<N>,
    now: u32,
    /// The last output.
    output: Frame<N>,
    student_flies: bool,
}

impl<'p, const N: usize> Flight<'p, N> {
    pub(crate) fn new(policy: &'p CheckedPolicy<N>, start: u32, take: &'p mut Take<'_, N>) -> Self {
        Self {
            policy,
            take,
            #[cfg(feature = "reference")]
            model: Model::new(policy),
            now: start,
            output: Frame::CENTRE,
            student_flies: false,
        }
    }

    /// One step, `dt` microseconds after the one before.
    pub(crate) fn step(&mut self, dt: u32, inputs: Inputs<'_, N>, log: &mut Log<'_>) {
        let (now, wraps) = self.now.overflowing_add(dt);
        self.now = now;
        let outcome = (self.take)(Instant::from_ticks(now), inputs);
        let differs = log.compares() && self.differs(inputs, &outcome);
        self.output = outcome.output;
        self.student_flies = !outcome.pilot.student().is_empty();
        log.step(&Step { policy: self.policy.policy(), dt, wraps, inputs, outcome, differs });
    }

    /// Whether the outcome of the reference differs in this step.
    #[cfg(feature = "reference")]
    fn differs(&mut self, inputs: Inputs<'_, N>, outcome: &Outcome<N>) -> bool {
        self.model.step(Instant::from_ticks(self.now), inputs) != *outcome
    }

    /// There is no reference in this build; this is never called.
    #[cfg(not(feature = "reference"))]
    #[allow(clippy::unused_self)]
    fn differs(&mut self, _: Inputs<'_, N>, _: &Outcome<N>) -> bool {
        false
    }
}

/// A flight and the sticks of both sides.
struct Trace<'p, const N: usize> {
    flight: Flight<'p, N>,
    instructor: Frame<N>,
    student: Frame<N>,
}

impl<const N: usize> Trace<'_, N> {
    /// The instructor lets go of the sticks that have a fixed rest; any other that is out of reach is centred.
    fn rest(&mut self) {
        let policy = self.flight.policy.policy();
        for (stick, rule) in self.instructor.axes_mut().iter_mut().zip(&policy.axes) {
            *stick = rest(rule).unwrap_or_else(|| within(*stick, policy.plausible));
        }
    }

    /// Moves the student's sticks that have a gate to the instructor's, so that no gate is closed.
    fn meet(&mut self) {
        let policy = self.flight.policy.policy();
        let sticks = self.student.axes_mut().iter_mut().zip(self.instructor.axes());
        for ((student, instructor), rule) in sticks.zip(&policy.axes) {
            *student = if rule.window.is_some() { *instructor } else { within(*student, policy.plausible) };
        }
    }

    /// Does everything that hands the craft over, for at most as long as short durations take.
    fn hand_over(&mut self, random: &mut Random, log: &mut Log<'_>) {
        if !random.one_in(4) {
            self.rest();
        }
        if !random.one_in(4) {
            self.meet();
        }
        for step in 0..40 {
            let (instructor, student) = (Some(&self.instructor), Some(&self.student));
            let inputs = Inputs { instructor, student, lesson_switch: step >= 8, instructor_now: false };
            self.flight.step(10_000, inputs, log);
            if self.flight.student_flies {
                break;
            }
        }
    }

    fn segment(&mut self, random: &mut Random, log: &mut Log<'_>) {
        if !self.flight.student_flies && random.one_in(2) {
            self.hand_over(random, log);
        }
        let segment = Segment::draw(random, self.flight.policy.policy(), log);
        let (instructor, sticks) = Hand::draw(random, &self.sight(&self.instructor, &self.student), log);
        self.instructor = sticks;
        let (student, sticks) = Hand::draw(random, &self.sight(&self.student, &self.instructor), log);
        self.student = sticks;
        for step in 0..segment.steps {
            let (i, s) = (instructor.frame(&self.instructor), student.frame(&self.student));
            let inputs = Inputs {
                instructor: i.as_ref(),
                student: s.as_ref(),
                lesson_switch: segment.switch,
                instructor_now: segment.now,
            };
            self.flight.step(if step == 0 { segment.first } else { segment.pace }, inputs, log);
            instructor.slide(&mut self.instructor);
            student.slide(&mut self.student);
        }
    }

    fn sight<'a>(&'a self, sticks: &'a Frame<N>, other: &'a Frame<N>) -> Sight<'a, N> {
        Sight { policy: self.flight.policy.policy(), sticks, other, output: &self.flight.output }
    }
}

/// The stick, or the centre where a frame with it would be bad.
fn within(stick: Deflection, plausible: Deflection) -> Deflection {
    if stick.to_bits().unsigned_abs() > plausible.to_bits().unsigned_abs() { Deflection::CENTRE } else { stick }
}
