//! Flies a trace through engine, reference and monitor, and counts what happened.

use handback::reference::Model;
use handback::{
    Cause, CheckedPolicy, Deflection, Engine, Frame, Inputs, Instant, Outcome, Pilot, Policy, Rest, Waiting,
};
use handback_monitor::Monitor;
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;

use crate::trace::{Aim, Gap, Hand, Segment, Sticks, Trace};

/// What happened in all lessons of a test.
#[derive(Debug, Default)]
pub(crate) struct Seen {
    pub(crate) frames: u64,
    student: u64,
    some_axes: u64,
    pickup: u64,
    fading: u64,
    causes: [u64; Cause::KINDS],
    waiting: [u64; 9],
}

impl Seen {
    fn note<const N: usize>(&mut self, policy: &Policy<N>, outcome: &Outcome<N>, fades: bool) {
        self.frames += 1;
        let flown = outcome.pilot.student();
        self.student += u64::from(!flown.is_empty());
        self.some_axes += u64::from(!flown.is_empty() && flown != policy.shared);
        self.pickup += u64::from(!outcome.pickup.is_empty());
        self.fading += u64::from(fades);
        if let Some(event) = outcome.event {
            self.causes[event.cause.kind()] += 1;
        }
        if let Some(waiting) = outcome.waiting {
            self.waiting[match waiting {
                Waiting::InstructorSignal => 0,
                Waiting::Switch => 1,
                Waiting::SwitchOffFirst => 2,
                Waiting::Settling { .. } => 3,
                Waiting::Latch => 4,
                Waiting::StudentLink { .. } => 5,
                Waiting::Held(_) => 6,
                Waiting::Dwell { .. } => 7,
                Waiting::Gate(_) => 8,
            }] += 1;
        }
    }

    /// Agreement on a case that never happened shows nothing.
    pub(crate) fn assert_everything_happened(&self) {
        println!("{self:?}");
        let often = |count: u64| count * 1_000 >= self.frames;
        assert!(often(self.student) && often(self.some_axes) && often(self.pickup) && often(self.fading), "{self:?}");
        assert!(self.causes.iter().all(|&count| count >= 100), "{self:?}");
        assert!(self.waiting.iter().all(|&count| count >= 100), "{self:?}");
    }
}

/// Checks that engine and reference agree on the whole trace.
pub(crate) fn agree<const N: usize>(policy: &Policy<N>, trace: &Trace, seen: &mut Seen) -> Result<(), TestCaseError> {
    let checked = policy.check().map_err(|why| TestCaseError::fail(why.to_string()))?;
    let mut flight = Flight::new(&checked, trace.start);
    trace.segments.iter().try_for_each(|segment| flight.fly(segment, seen))
}

struct Flight<'p, const N: usize> {
    policy: &'p CheckedPolicy<N>,
    engine: Engine<N, &'p CheckedPolicy<N>>,
    model: Model<N>,
    monitor: Monitor<N>,
    now: u32,
    steps: u32,
    instructor: Frame<N>,
    student: Frame<N>,
    last: Option<Outcome<N>>,
}

impl<'p, const N: usize> Flight<'p, N> {
    fn new(policy: &'p CheckedPolicy<N>, start: u32) -> Self {
        let rests = policy.policy().axes.map(|rule| match rule.rest {
            Rest::At(rest) => rest,
            Rest::WhereLeft { .. } => Deflection::CENTRE,
        });
        Self {
            policy,
            engine: Engine::new(policy),
            model: Model::new(policy),
            monitor: Monitor::new(policy),
            now: start,
            steps: 0,
            instructor: Frame::new(rests),
            student: Frame::CENTRE,
            last: None,
        }
    }

    /// Does everything that hands the craft over, for at most 40 steps of 10 ms: short durations end in this time.
    fn hand_over(&mut self, sticks: Sticks, seen: &mut Seen) -> Result<(), TestCaseError> {
        if let Sticks::AtRest = sticks {
            for (stick, rule) in self.instructor.axes_mut().iter_mut().zip(&self.policy.policy().axes) {
                if let Rest::At(rest) = rule.rest {
                    *stick = rest;
                }
            }
        }
        for step in 0..40 {
            let (instructor, student) = (self.instructor, self.student);
            let switch = step >= 8;
            let inputs = Inputs {
                instructor: Some(&instructor),
                student: Some(&student),
                lesson_switch: switch,
                ..Inputs::default()
            };
            self.step(10_000, inputs, seen)?;
            if self.last.is_some_and(|last| matches!(last.pilot, Pilot::Student(_))) {
                break;
            }
        }
        Ok(())
    }

    fn fly(&mut self, segment: &Segment, seen: &mut Seen) -> Result<(), TestCaseError> {
        if let Some(sticks) = segment.hand_over {
            self.hand_over(sticks, seen)?;
        }
        let (mut instructor, mut student) = (self.instructor, self.student);
        self.put(&segment.instructor, &mut instructor, &student);
        self.put(&segment.student, &mut student, &instructor);
        for step in 0..segment.steps {
            let dt = match segment.gap {
                _ if step > 0 => segment.pace,
                Gap::Us(us) => us,
                Gap::Edge(which, offset) => self.edge(which).saturating_add_signed(offset.into()),
            };
            let inputs = Inputs {
                instructor: (!matches!(segment.instructor, Hand::Silent)).then_some(&instructor),
                student: (!matches!(segment.student, Hand::Silent)).then_some(&student),
                lesson_switch: segment.switch,
                instructor_now: segment.now,
            };
            self.step(dt, inputs, seen)?;
            slide(&segment.instructor, &mut instructor);
            slide(&segment.student, &mut student);
        }
        // A stick that was out returns to where it was; any other stays where it was moved to.
        if !matches!(segment.instructor, Hand::Out(..)) {
            self.instructor = instructor;
        }
        if !matches!(segment.student, Hand::Out(..)) {
            self.student = student;
        }
        Ok(())
    }

    fn step(&mut self, dt: u32, inputs: Inputs<'_, N>, seen: &mut Seen) -> Result<(), TestCaseError> {
        self.now = self.now.wrapping_add(dt);
        let now = Instant::from_ticks(self.now);
        let engine = self.engine.step(now, inputs);
        let model = self.model.step(now, inputs);
        prop_assert_eq!(engine, model, "step {} (left: engine, right: reference) with {:?}", self.steps, inputs);
        let judged = self.monitor.step(now, &inputs, &engine);
        prop_assert!(judged.is_ok(), "step {} breaks {:?} with {:?}", self.steps, judged, inputs);

        let mut fades = false;
        for (axis, output) in (0..).zip(engine.output.axes()) {
            let ideal = self.model.ideal(axis).expect("an axis of the frame") * 16_384.0;
            let off = (ideal - f64::from(output.to_bits())).abs();
            prop_assert!(off <= 4.5, "step {}, axis {}: {} units off the ideal line (N3)", self.steps, axis, off);
            fades |= off > 0.0;
        }
        seen.note(self.policy.policy(), &engine, fades);
        self.last = Some(engine);
        self.steps += 1;
        Ok(())
    }

    /// One of the policy's durations.
    fn edge(&self, which: u8) -> u32 {
        let policy = self.policy.policy();
        let still = policy.axes.iter().find_map(|rule| match rule.rest {
            Rest::WhereLeft { still } => Some(still),
            Rest::At(_) => None,
        });
        let all = [
            policy.settle,
            policy.dwell,
            policy.fade,
            policy.pickup_max,
            policy.timeout,
            policy.timeout,
            policy.requalify,
            policy.failsafe_after,
            policy.failsafe_after,
            policy.late_step,
            still.unwrap_or(policy.dwell),
            policy.latches.lasted.unwrap_or(policy.timeout),
            policy.frozen_after.unwrap_or(policy.timeout),
        ];
        all[usize::from(which) % all.len()].as_ticks()
    }

    /// Puts one side's sticks where its hand aims.
    fn put(&self, hand: &Hand, sticks: &mut Frame<N>, other: &Frame<N>) {
        match hand {
            Hand::Silent | Hand::Still => {}
            Hand::Out(axis, bits) => sticks.axes_mut()[usize::from(*axis) % N] = Deflection::from_bits(*bits),
            Hand::Put(moves) => {
                for (axis, aim, _) in moves {
                    let axis = usize::from(*axis) % N;
                    let bits = self.aim(aim, axis, sticks, other).clamp(i16::MIN.into(), i16::MAX.into());
                    sticks.axes_mut()[axis] = Deflection::from_bits(i16::try_from(bits).expect("clamped"));
                }
            }
        }
    }

    fn aim(&self, aim: &Aim, axis: usize, sticks: &Frame<N>, other: &Frame<N>) -> i32 {
        let policy = self.policy.policy();
        let rule = &policy.axes[axis];
        let bits = |deflection: Deflection| i32::from(deflection.to_bits());
        let rest = match rule.rest {
            Rest::At(rest) => bits(rest),
            Rest::WhereLeft { .. } => bits(sticks.axes()[axis]),
        };
        let output = self.last.map_or(0, |last| bits(last.output.axes()[axis]));
        let window = bits(rule.window.unwrap_or_default());
        let beyond = bits(policy.latches.beyond.unwrap_or(rule.engage));
        match *aim {
            Aim::At(at) => at.into(),
            Aim::Rest => rest,
            Aim::Engage(side, off) => rest + side.sign() * (bits(rule.engage) + i32::from(off)),
            Aim::Release(side, off) => rest + side.sign() * (bits(rule.release) + i32::from(off)),
            Aim::Beyond(side, off) => rest + side.sign() * (beyond + i32::from(off)),
            Aim::Window(side, off) => bits(other.axes()[axis]) + side.sign() * (window + i32::from(off)),
            Aim::Output(off) => output + i32::from(off),
            Aim::OutputEngage(side, off) => output + side.sign() * (bits(rule.engage) + i32::from(off)),
            Aim::Plausible(side, off) => side.sign() * (bits(policy.plausible) + i32::from(off)),
        }
    }
}

/// Moves the sticks of a hand that moves them, by one step.
fn slide<const N: usize>(hand: &Hand, sticks: &mut Frame<N>) {
    if let Hand::Put(moves) = hand {
        for (axis, _, slope) in moves {
            let stick = &mut sticks.axes_mut()[usize::from(*axis) % N];
            *stick = Deflection::from_bits(stick.to_bits().saturating_add(*slope));
        }
    }
}
