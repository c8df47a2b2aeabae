//! The clock and the two signals: what came, how old it is, what is lost (K1, L, I).

use handback::{AxisSet, Deflection, Duration, Frame, Link, Pilot, Policy, Reception};

use crate::Step;
use crate::broken::Judge;
use crate::normal::Rebase;

/// When the last good frames came.
#[derive(Clone, Debug, Hash)]
pub(crate) struct Signals<const N: usize> {
    /// The step of the last good frame of each side, if one counts.
    instructor: Option<u64>,
    student: Option<u64>,
    /// The step of the last good frame of the student that changed (L4).
    changed: Option<u64>,
    /// Since when the link has gone on without a loss (L2).
    qualifies: Option<u64>,
    /// Lost at the end of the step before, and the link good.
    lost: bool,
    link_good: bool,
    /// The last good frames; the failsafe frame before the first.
    sticks: Frame<N>,
    students: Frame<N>,
}

/// What clock and signals say of one step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Heard {
    /// K1.
    pub(crate) late_step: bool,
    /// A good instructor's frame came.
    pub(crate) came: bool,
    /// A bad one came.
    pub(crate) bad: bool,
    /// The instructor's signal was lost at some point of the step; it was not at the end of the step before; it is lost
    /// at the end of this one.
    pub(crate) was_lost: bool,
    pub(crate) noticed: bool,
    pub(crate) lost: bool,
    /// I2 holds.
    pub(crate) nobody: bool,
    /// The link was lost at some point of the step; it was so only because it is frozen; it was good before; it is good
    /// at the end.
    pub(crate) link_was_lost: bool,
    pub(crate) link_frozen: bool,
    pub(crate) link_broke: bool,
    pub(crate) link_good: bool,
    /// What is missing until the link has qualified.
    pub(crate) link_left: Duration,
}

impl Heard {
    /// K1 or I1 is noticed in this step: rows, stays and the switch begin again (R3, S2).
    pub(crate) const fn disturbed(self) -> bool {
        self.late_step || self.noticed
    }
}

impl<const N: usize> Signals<N> {
    pub(crate) fn new(policy: &Policy<N>) -> Self {
        let failsafe = Frame::new(policy.axes.map(|rule| rule.failsafe));
        Self {
            instructor: None,
            student: None,
            changed: None,
            qualifies: None,
            lost: true,
            link_good: false,
            sticks: failsafe,
            students: failsafe,
        }
    }

    pub(crate) const fn instructors(&self) -> &Frame<N> {
        &self.sticks
    }

    pub(crate) const fn students(&self) -> &Frame<N> {
        &self.students
    }

    pub(crate) fn normalise(&mut self, policy: &Policy<N>, rebase: Rebase) {
        rebase.loses(&mut self.instructor, policy.failsafe_after);
        rebase.loses(&mut self.student, policy.timeout);
        rebase.grants(&mut self.qualifies, policy.requalify);
        match policy.frozen_after {
            Some(limit) => rebase.loses(&mut self.changed, limit),
            None => self.changed = None,
        }
    }

    pub(crate) fn step(&mut self, step: &Step<'_, N>, judge: &mut Judge) -> Heard {
        let policy = step.policy;
        let late_step = step.dt > u64::from(policy.late_step.as_ticks());
        if late_step {
            (self.instructor, self.student) = (None, None);
        }
        let instructor = reception(step.inputs.instructor, policy.plausible, AxisSet::first(N));
        let student = reception(step.inputs.student, policy.plausible, policy.shared);
        let was_lost = step.is_older(self.instructor, policy.timeout);
        let link_too_old = step.is_older(self.student, policy.timeout);
        let frozen = self.is_frozen(step, student);
        let link_was_lost = link_too_old || frozen;
        let (noticed, link_broke) = (was_lost && !self.lost, link_was_lost && self.link_good);
        if link_was_lost {
            self.qualifies = None;
        }
        if let (Reception::Good, Some(frame)) = (instructor, step.inputs.instructor) {
            (self.instructor, self.sticks) = (Some(step.now), *frame);
        }
        if let (Reception::Good, Some(frame)) = (student, step.inputs.student) {
            (self.student, self.students) = (Some(step.now), *frame);
            if !frozen {
                self.qualifies.get_or_insert(step.now);
            }
        }
        let came = instructor == Reception::Good;
        self.lost = was_lost && !came;
        self.link_good = step.lasted(self.qualifies, policy.requalify);
        let nobody = step.is_older(self.instructor, policy.failsafe_after);
        self.judge(step, [instructor, student], late_step, nobody, frozen, judge);
        Heard {
            late_step,
            came,
            bad: instructor == Reception::Bad,
            was_lost,
            noticed,
            lost: self.lost,
            nobody,
            link_was_lost,
            link_frozen: frozen && !link_too_old,
            link_broke,
            link_good: self.link_good,
            link_left: step.left(self.qualifies, policy.requalify),
        }
    }

    /// Whether the student's shared axes have not changed for longer than `frozen_after` (L4), this step's frame included.
    fn is_frozen(&mut self, step: &Step<'_, N>, student: Reception) -> bool {
        if let (Reception::Good, Some(frame)) = (student, step.inputs.student) {
            let mut axes = (0..).zip(frame.axes().iter().zip(self.students.axes()));
            let differs =
                axes.any(|(axis, (x, last))| step.policy.shared.contains(axis) && crate::apart(*x, *last) > 0);
            if differs || self.changed.is_none() {
                self.changed = Some(step.now);
            }
        }
        let Some(limit) = step.policy.frozen_after else { return false };
        self.changed.is_some() && step.is_older(self.changed, limit)
    }

    /// Whether the outcome says the same.
    fn judge(
        &self,
        step: &Step<'_, N>,
        came: [Reception; 2],
        late_step: bool,
        nobody: bool,
        frozen: bool,
        judge: &mut Judge,
    ) {
        let (outcome, [instructor, student]) = (step.outcome, came);
        judge.hold(outcome.late_step == late_step, &["K1"], || {
            format!("late_step {late_step}: {} us after the step before", step.dt)
        });
        judge.hold(outcome.instructor == instructor, &["I1"], || {
            format!("the instructor's frame to be {instructor:?}, not {:?}", outcome.instructor)
        });
        judge.hold(outcome.student == student, &["L1"], || {
            format!("the student's frame to be {student:?}, not {:?}", outcome.student)
        });
        judge.hold(outcome.stick == self.sticks, &["I1"], || {
            format!("the sticks of the last good frame {:?}, not {:?}", self.sticks, outcome.stick)
        });
        judge.hold(outcome.instructor_lost == self.lost, &["I1"], || {
            format!("the instructor's signal {}", if self.lost { "lost" } else { "there" })
        });
        let link = match self.qualifies {
            None => Link::Lost,
            Some(_) if self.link_good => Link::Good,
            Some(_) => Link::Qualifying,
        };
        let rule: &'static [&'static str] = match link {
            Link::Lost if frozen => &["L4"],
            Link::Lost => &["L1"],
            _ => &["L2"],
        };
        judge.hold(outcome.link == link, rule, || format!("the student link {link:?}, not {:?}", outcome.link));
        judge.hold((outcome.pilot == Pilot::Nobody) == nobody, &["I2"], || {
            format!("{} to fly, not {:?}", if nobody { "nobody" } else { "somebody" }, outcome.pilot)
        });
    }
}

/// A good frame has every axis that matters within `plausible`.
fn reception<const N: usize>(frame: Option<&Frame<N>>, plausible: Deflection, matters: AxisSet) -> Reception {
    let Some(frame) = frame else { return Reception::Nothing };
    let within = |x: Deflection| crate::apart(x, Deflection::CENTRE) <= i32::from(plausible.to_bits());
    let good = (0..).zip(frame.axes()).all(|(axis, x)| !matters.contains(axis) || within(*x));
    if good { Reception::Good } else { Reception::Bad }
}
