//! Are the two streams of frames good, aged, lost, or qualifying (L, I, K1).

use crate::checked::CheckedPolicy;
use crate::clock::{Duration, Elapsed, Time};
use crate::deflection::{AxisSet, Deflection, Frame};
use crate::outcome::{Link, Reception};

/// Both sides' signals.
#[derive(Clone, Debug)]
pub(crate) struct Signals<const N: usize> {
    instructor: Stream<N>,
    student: Stream<N>,
    link: LinkState,
}

/// One side's frames: the last good one and its age.
#[derive(Clone, Debug)]
struct Stream<const N: usize> {
    frame: Frame<N>,
    /// Since the step that brought the frame; endless before the first one and after a stall.
    age: Elapsed,
}

/// Whether the student's frames have gone on for long enough to be trusted (L2); `Lost` whenever they are too old.
#[derive(Clone, Copy, Debug)]
enum LinkState {
    Lost,
    Qualifying(Elapsed),
    Good,
}

/// What a step found out about the signals.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heard {
    pub(crate) stalled: bool,
    pub(crate) instructor: Reception,
    pub(crate) student: Reception,
    /// The instructor's signal was lost before this step's frame was looked at, as it is in every stall (I1, K1).
    pub(crate) instructor_was_lost: bool,
    /// It was good, and this step noticed the loss.
    pub(crate) instructor_just_lost: bool,
    /// The instructor's signal is lost at the end of the step (I1).
    pub(crate) instructor_lost: bool,
    /// The instructor's signal is so old that nobody flies (I2).
    pub(crate) failsafe: bool,
    /// The student link was lost before this step's frame was looked at (L1, K1).
    pub(crate) link_was_lost: bool,
    /// It was good, and this step noticed the loss (L3).
    pub(crate) link_just_lost: bool,
    /// The student link at the end of the step (L2).
    pub(crate) link: Link,
}

impl Heard {
    /// The step brought a good instructor's frame.
    pub(crate) const fn fresh(self) -> bool {
        matches!(self.instructor, Reception::Good)
    }

    /// The step noticed something after which the sticks are judged anew (R3).
    pub(crate) const fn disturbed(self) -> bool {
        self.stalled || self.instructor_just_lost
    }

    /// The student link is lost at some point of the step, or not good yet.
    pub(crate) const fn link_gone(self) -> bool {
        self.link_was_lost || !matches!(self.link, Link::Good)
    }
}

impl<const N: usize> Signals<N> {
    pub(crate) const fn new(policy: &CheckedPolicy<N>) -> Self {
        Self {
            instructor: Stream::new(policy.failsafe_frame()),
            student: Stream::new(Frame::CENTRE),
            link: LinkState::Lost,
        }
    }

    /// The instructor's last good frame, the failsafe frame before the first one.
    pub(crate) const fn instructor(&self) -> &Frame<N> {
        &self.instructor.frame
    }

    /// The student's last good frame; of use only while the link is good.
    pub(crate) const fn student(&self) -> &Frame<N> {
        &self.student.frame
    }

    pub(crate) fn step(
        &mut self,
        policy: &CheckedPolicy<N>,
        time: Time,
        instructor: Option<&Frame<N>>,
        student: Option<&Frame<N>>,
    ) -> Heard {
        let policy = policy.policy();
        let Time { dt, stalled } = time;

        // A stall, too, is a loss before this step's frames are looked at (K1).
        let instructor_was_good = !self.instructor.age.exceeded(policy.timeout);
        let instructor_was_lost = self.instructor.pass(time, policy.timeout);
        let link_was_lost = self.student.pass(time, policy.timeout);
        let link_just_lost = link_was_lost && matches!(self.link, LinkState::Good);
        if link_was_lost {
            self.link = LinkState::Lost;
        }

        let instructor = self.instructor.receive(instructor, AxisSet::ALL, policy.plausible);
        let student = self.student.receive(student, policy.shared, policy.plausible);
        self.link = self.link.after(dt, student, policy.requalify);

        Heard {
            stalled,
            instructor,
            student,
            instructor_was_lost,
            instructor_just_lost: instructor_was_lost && instructor_was_good,
            instructor_lost: self.instructor.age.exceeded(policy.timeout),
            failsafe: self.instructor.age.exceeded(policy.failsafe_after),
            link_was_lost,
            link_just_lost,
            link: match self.link {
                LinkState::Lost => Link::Lost,
                LinkState::Qualifying(_) => Link::Qualifying,
                LinkState::Good => Link::Good,
            },
        }
    }

    /// How long the student link still has to go on to be good.
    pub(crate) const fn qualifies_for(&self, requalify: Duration) -> Duration {
        match self.link {
            LinkState::Lost => requalify,
            LinkState::Qualifying(since) => since.left_of(requalify),
            LinkState::Good => Duration::from_ticks(0),
        }
    }
}

impl<const N: usize> Stream<N> {
    const fn new(stand_in: Frame<N>) -> Self {
        Self { frame: stand_in, age: Elapsed::ENDLESS }
    }

    /// Time passes; true where the last good frame is too old by now.
    fn pass(&mut self, time: Time, timeout: Duration) -> bool {
        self.age = if time.stalled { Elapsed::ENDLESS } else { self.age.after(time.dt) };
        self.age.exceeded(timeout)
    }

    fn receive(&mut self, frame: Option<&Frame<N>>, matter: AxisSet, plausible: Deflection) -> Reception {
        let Some(frame) = frame else { return Reception::Nothing };
        let limit = plausible.magnitude();
        let good = (0..).zip(frame.axes()).all(|(axis, x)| x.magnitude() <= limit || !matter.contains(axis));
        if !good {
            return Reception::Bad;
        }
        self.frame = *frame;
        self.age = Elapsed::ZERO;
        Reception::Good
    }
}

impl LinkState {
    fn after(self, dt: Duration, student: Reception, requalify: Duration) -> Self {
        let since = match (self, student) {
            (Self::Good, _) => return Self::Good,
            // Only a good frame ends a loss.
            (Self::Lost, Reception::Nothing | Reception::Bad) => return Self::Lost,
            (Self::Lost, Reception::Good) => Elapsed::ZERO,
            (Self::Qualifying(since), _) => since.after(dt),
        };
        if since.reached(requalify) { Self::Good } else { Self::Qualifying(since) }
    }
}
