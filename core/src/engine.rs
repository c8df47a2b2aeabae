//! The step: asks the other rooms in the contract's order.

use crate::checked::CheckedPolicy;
use crate::clock::{Clock, Duration, Instant, Time};
use crate::deflection::{AxisSet, Frame};
use crate::latch::{Claim, Latch};
use crate::outcome::{Authority, Event, Outcome, Reception, Waiting};
use crate::policy::Latches;
use crate::share::{Change, Share, closed_gates};
use crate::signal::{Heard, Signals};
use crate::stick::{Sticks, Touch};
use crate::switch::{Lesson, LessonSwitch};
use crate::telling::Findings;
use crate::transfer::{Transfer, Way};

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
    /// Something took the whole craft in the last step (T4).
    withheld: bool,
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
            withheld: true,
            flew: None,
        }
    }

    /// One step of the lesson: call it for every frame, or more often.
    ///
    /// `now` may wrap; only its difference from the last step counts, and too large a one is a stall (K1). Never fails:
    /// every input has an outcome.
    #[must_use = "the output is what the craft must be sent"]
    pub fn step(&mut self, now: Instant, inputs: Inputs<'_, N>) -> Outcome<N> {
        let time = self.clock.step(now, self.policy.policy().stall);
        let heard = self.signals.step(self.policy, time, inputs.instructor, inputs.student);
        let touch = self.sticks.step(self.policy, time.dt, heard, self.signals.instructor());
        let lesson = self.switch.step(self.policy, time.dt, heard, inputs.lesson_switch);
        let latched = self.latch(time, heard, touch, lesson, inputs.instructor_now);

        let found = Findings { heard, touch, lesson, latched, instructor_now: inputs.instructor_now };
        let change = self.share(time, found);
        let output = self.output(time, found, change);
        let authority = if heard.failsafe { Authority::Nobody } else { Authority::with_student(self.share.student()) };
        let event = self.announce(now, found, authority);

        Outcome {
            at: now,
            output,
            authority,
            event,
            waiting: self.waiting(found),
            held: touch.held,
            pickup: self.transfer.waiting(),
            stick: *self.signals.instructor(),
            instructor: heard.instructor,
            student: heard.student,
            instructor_lost: heard.instructor_lost,
            link: heard.link,
            stalled: heard.stalled,
        }
    }

    /// Latches: a takeover that goes on until the switch has been off (H2).
    fn latch(&mut self, time: Time, heard: Heard, touch: Touch, lesson: Lesson, now: bool) -> bool {
        // A stick slammed past what is plausible is a stick all the same.
        let slammed = matches!(heard.instructor, Reception::Bad) && !self.share.student().is_empty();
        let Latches { lasted, beyond } = self.policy.policy().latches;
        let claim = Claim {
            took: self.policy.taken_by(touch.newly_held).meets(self.share.student()) || slammed,
            kept: touch.newly_held.meets(self.policy.keep),
            lasted,
            beyond: beyond.is_some_and(|limit| self.sticks.any_beyond(self.policy, self.signals.instructor(), limit)),
            now,
            cleared: lesson == Lesson::Off,
        };
        self.latch.step(time.dt, claim)
    }

    /// Who flies: the student's set shrinks or grows, and what ends when it grows (H1, H2, R2).
    fn share(&mut self, time: Time, found: Findings) -> Change {
        let (instructor, student) = (self.signals.instructor(), self.signals.student());
        let change = self.share.step(self.policy, time.dt, found, instructor, student);
        if !change.joining.is_empty() {
            self.latch.end_takeover();
            self.sticks.rest_here(self.policy, instructor);
        }
        change
    }

    /// Output: the failsafe frame where nobody flies (I2), else what the transfer makes of the change (T6, H4, H5).
    fn output(&mut self, time: Time, found: Findings, change: Change) -> Frame<N> {
        let withheld = found.withhold();
        let begins = withheld && !self.withheld;
        self.withheld = withheld;
        if found.heard.failsafe {
            return self.transfer.fail_safe(self.policy);
        }
        let at_once = found.heard.instructor_was_lost || found.instructor_now;
        let cut = if at_once || begins { AxisSet::ALL } else { self.policy.taken_by(found.touch.newly_held) };
        let (instructor, student) = (self.signals.instructor(), self.signals.student());
        let way = Way { change, student: self.share.student(), held: found.touch.held, cut, at_once };
        self.transfer.step(self.policy, time.dt, way, self.sticks.rests(), instructor, student)
    }

    /// Event: one for every change, none before the first good instructor's frame (A1, S1).
    fn announce(&mut self, now: Instant, found: Findings, authority: Authority) -> Option<Event> {
        let Some(before) = self.flew else {
            self.flew = found.heard.fresh().then_some(authority);
            return None;
        };
        self.flew = Some(authority);
        (before != authority).then(|| Event { at: now, from: before, to: authority, cause: found.cause(before) })
    }

    /// The first thing waited for, while the student has less than the shared axes (A2).
    fn waiting(&self, found: Findings) -> Option<Waiting> {
        let policy = self.policy.policy();
        let missing = policy.shared.except(self.share.student());
        if missing.is_empty() {
            return None;
        }
        found.waiting(self.signals.qualifies_for(policy.requalify)).or_else(|| {
            if let Some(left) = self.share.dwell_left(policy.dwell) {
                return Some(Waiting::Dwell { left });
            }
            let closed = closed_gates(self.policy, missing, self.signals.instructor(), self.signals.student());
            // Behind open gates only a good frame is missing, from an instructor whose sticks are not on their way.
            Some(closed.lowest().map_or(Waiting::Dwell { left: Duration::from_ticks(0) }, Waiting::Gate))
        })
    }
}
