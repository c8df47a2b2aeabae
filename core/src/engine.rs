//! The step: asks the other rooms in the contract's order.

use crate::checked::CheckedPolicy;
use crate::clock::{Clock, Duration, Instant};
use crate::deflection::{AxisSet, Frame};
use crate::latch::{Claim, Latch};
use crate::outcome::{Authority, Event, Outcome, Waiting};
use crate::share::{Claims, Share, closed_gates};
use crate::signal::Signals;
use crate::stick::Sticks;
use crate::switch::{Lesson, LessonSwitch};
use crate::telling::Findings;
use crate::transfer::{Move, Transfer};

/// What one step is given.
///
/// The default is a step without a frame, with the lesson switch off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Inputs<'a, const N: usize> {
    /// The instructor's frame, if one came since the step before.
    pub instructor: Option<&'a Frame<N>>,
    /// The student's frame, if one came since the step before.
    pub student: Option<&'a Frame<N>>,
    /// Whether the lesson switch is seen on.
    pub lesson_switch: bool,
    /// Whether the instructor asks for the craft with a button (T7).
    pub instructor_now: bool,
}

/// The takeover engine: a borrowed policy, which no step can change, and the state of one lesson.
///
/// ```
/// use handback::{Authority, AxisRule, Deflection, Engine, Frame, Inputs, Instant, Policy};
/// let policy = Policy::new([AxisRule::sprung(), AxisRule::sprung()]).check()?;
/// let mut engine = Engine::new(&policy);
/// let sticks = Frame::new([Deflection::from_points(7), Deflection::CENTRE]);
/// let outcome = engine.step(Instant::from_ticks(0), Inputs { instructor: Some(&sticks), ..Inputs::default() });
/// assert_eq!((outcome.authority, outcome.output), (Authority::Instructor, sticks));
/// # Ok::<(), handback::PolicyError>(())
/// ```
#[derive(Clone, Debug)]
pub struct Engine<'p, const N: usize> {
    policy: &'p CheckedPolicy<N>,
    clock: Clock,
    signals: Signals<N>,
    sticks: Sticks<N>,
    switch: LessonSwitch,
    latch: Latch,
    share: Share,
    transfer: Transfer<N>,
    /// Who flew after the last step; `None` until the first good instructor's frame, so that none of that is announced.
    flew: Option<Authority>,
}

impl<'p, const N: usize> Engine<'p, N> {
    /// An engine at the start of a lesson (S1).
    pub const fn new(policy: &'p CheckedPolicy<N>) -> Self {
        Self {
            policy,
            clock: Clock::new(),
            signals: Signals::new(policy),
            sticks: Sticks::new(policy),
            switch: LessonSwitch::new(),
            latch: Latch::new(),
            share: Share::new(),
            transfer: Transfer::new(),
            flew: None,
        }
    }

    /// One step of the lesson: call it for every frame, or more often.
    ///
    /// `now` may wrap; only its difference from the last step counts, and too large a one is a stall (K1). Never fails:
    /// every input has an outcome.
    #[must_use = "the output is what the craft must be sent"]
    pub fn step(&mut self, now: Instant, inputs: Inputs<'_, N>) -> Outcome<N> {
        let checked = self.policy;
        let policy = checked.policy();

        // Clock, signals, sticks.
        let time = self.clock.step(now, policy.stall);
        let heard = self.signals.step(checked, time, inputs.instructor, inputs.student);
        let (instructor, student) = (self.signals.instructor(), self.signals.student());
        let touch = self.sticks.step(checked, time.dt, heard, instructor);
        let held = self.sticks.held();

        // Switch, latches.
        let disarm = heard.disturbed() || (heard.link_just_lost && policy.rearm_after_loss);
        let lesson = self.switch.step(policy.settle, time.dt, inputs.lesson_switch, disarm);
        let seized = checked.taken_by(touch.newly_held);
        let claim = Claim {
            took: seized.meets(self.share.student()),
            kept: touch.newly_held.meets(checked.keep),
            lasted: policy.latches.lasted,
            beyond: policy.latches.beyond.is_some_and(|limit| self.sticks.any_beyond(checked, instructor, limit)),
            now: inputs.instructor_now,
            cleared: lesson == Lesson::Off,
        };
        let latched = self.latch.step(time.dt, claim);

        // Who flies.
        let findings = Findings { heard, lesson, instructor_now: inputs.instructor_now, latched };
        let withheld = findings.withhold();
        let claims = Claims { withheld, held, touched: touch.changed, fresh: heard.fresh() };
        let change = self.share.step(checked, time.dt, claims, instructor, student);
        if !change.joining.is_empty() {
            self.latch.end_takeover();
            self.sticks.rest_here(checked, instructor);
        }
        let authority = if heard.failsafe { Authority::Nobody } else { Authority::with_student(self.share.student()) };

        // Output.
        let output = if heard.failsafe {
            self.transfer.fail_safe(checked)
        } else {
            let at_once = heard.instructor_was_lost || inputs.instructor_now;
            let emptied = withheld && !change.leaving.is_empty();
            let transition = Move {
                leaving: change.leaving,
                joining: change.joining,
                student: self.share.student(),
                held,
                cut: if at_once || emptied { AxisSet::ALL } else { seized },
                at_once,
            };
            self.transfer.step(checked, time.dt, transition, self.sticks.rests(), instructor, student)
        };

        // Event.
        let event = match self.flew {
            Some(before) if before != authority => {
                Some(Event { at: now, from: before, to: authority, cause: findings.cause(before, touch.newly_held) })
            }
            Some(_) | None => None,
        };
        if self.flew.is_some() || heard.fresh() {
            self.flew = Some(authority);
        }

        Outcome {
            at: now,
            output,
            authority,
            event,
            waiting: self.waiting(&findings),
            held,
            pickup: self.transfer.waiting(),
            stick: *instructor,
            instructor: heard.instructor,
            student: heard.student,
            instructor_lost: heard.instructor_lost,
            link: heard.link,
        }
    }

    /// The first thing waited for, while the student has less than the shared axes (A2).
    fn waiting(&self, findings: &Findings) -> Option<Waiting> {
        let policy = self.policy.policy();
        let missing = policy.shared.except(self.share.student());
        if missing.is_empty() {
            return None;
        }
        findings.waiting(self.signals.qualifies_for(policy.requalify)).or_else(|| {
            if let Some(axis) = self.sticks.held().lowest() {
                return Some(Waiting::Held(axis));
            }
            if let Some(left) = self.share.dwell_left(policy.dwell) {
                return Some(Waiting::Dwell { left });
            }
            let closed = closed_gates(self.policy, missing, self.signals.instructor(), self.signals.student());
            // Behind an open gate only the instructor's next good frame is missing.
            Some(closed.lowest().map_or(Waiting::Dwell { left: Duration::from_ticks(0) }, Waiting::Gate))
        })
    }
}
