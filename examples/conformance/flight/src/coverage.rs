//! Counts what the flights reached: targets that agree on something that never happened show nothing.

use handback::{AxisSet, Cause, Event, Frame, Outcome, Pilot, PolicyError, Reception, Rest, Scope};
use outcome_digest::{link, reception};

use crate::aim::{Beside, Threshold, Timing};
use crate::log::Step;
use crate::row::waiting_kind;

/// How often each case happened.
#[derive(Clone, Debug, Default)]
pub struct Coverage {
    /// Causes of events.
    cause: [u32; Cause::KINDS],
    /// Steps that waited, by kind.
    waiting: [u32; 9],
    /// Steps, by who flew.
    pilot: [u32; 4],
    /// Takeovers by stick: the policy's scope, and where the stick rests.
    takeover: [u32; 4],
    /// Steps in which an axis faded to the student or to the instructor, or waited for its stick.
    transfer: [u32; 3],
    /// What came from the instructor and from the student.
    received: [u32; 6],
    link: [u32; 3],
    /// Steps with the instructor's signal lost, at the same instant as the step before, past the clock's wrap, or late.
    clock: [u32; 4],
    /// Policies refused.
    refused: [u32; REFUSALS.len()],
    /// Sticks put under, on and over each threshold.
    aimed: [[u32; 3]; Threshold::ALL.len()],
    /// Steps under, on and over each duration.
    timed: [[u32; 3]; Timing::ALL.len()],
}

const CAUSES: [&str; Cause::KINDS] = [
    "late-step",
    "instructor-lost",
    "instructor-back",
    "instructor-now",
    "bad-frame",
    "switch-off",
    "link-lost",
    "link-frozen",
    "stick",
    "latch",
    "handed-back",
];
const WAITING: [&str; 9] =
    ["instructor-signal", "switch", "switch-off-first", "settling", "latch", "student-link", "held", "dwell", "gate"];
const PILOTS: [&str; 4] = ["nobody", "instructor", "student", "student-some"];
const TAKEOVERS: [&str; 4] = ["scope-craft", "scope-axis", "rest-fixed", "rest-where-left"];
const TRANSFERS: [&str; 3] = ["pickup", "fade-to-student", "fade-to-instructor"];
const RECEIVED: [&str; 6] =
    ["instructor-nothing", "instructor-good", "instructor-bad", "student-nothing", "student-good", "student-bad"];
const LINKS: [&str; 3] = ["lost", "qualifying", "good"];
const CLOCK: [&str; 4] = ["instructor-lost", "same-instant", "wrap", "late-step"];
const REFUSALS: [&str; 15] = [
    "engage",
    "release",
    "confirm",
    "rest",
    "window",
    "failsafe",
    "plausible",
    "nothing-watched",
    "watched-past-last",
    "shared-past-last",
    "shared-unwatched",
    "beyond",
    "too-long",
    "zero",
    "failsafe-before-timeout",
];

/// The index of a refusal in the list.
pub(crate) fn refusal_kind(why: &PolicyError) -> usize {
    match why {
        PolicyError::Engage { .. } => 0,
        PolicyError::Release { .. } => 1,
        PolicyError::Confirm { .. } => 2,
        PolicyError::Rest { .. } => 3,
        PolicyError::Window { .. } => 4,
        PolicyError::Failsafe { .. } => 5,
        PolicyError::Plausible { .. } => 6,
        PolicyError::NothingWatched => 7,
        PolicyError::WatchedPastLast { .. } => 8,
        PolicyError::SharedPastLast { .. } => 9,
        PolicyError::SharedUnwatched { .. } => 10,
        PolicyError::Beyond { .. } => 11,
        PolicyError::TooLong { .. } => 12,
        PolicyError::Zero { .. } => 13,
        PolicyError::FailsafeBeforeTimeout { .. } => 14,
        _ => panic!("a refusal that the flights do not know: add it"),
    }
}

impl Coverage {
    /// Calls `each` with the group, the name and the count of every case that can be reached.
    pub fn for_each(&self, mut each: impl FnMut(&'static str, &'static str, &'static str, u32)) {
        let mut group = |group, names: &[&'static str], counts: &[u32]| {
            names.iter().zip(counts).for_each(|(name, count)| each(group, name, "", *count));
        };
        group("cause", &CAUSES, &self.cause);
        group("waiting", &WAITING, &self.waiting);
        group("pilot", &PILOTS, &self.pilot);
        group("takeover", &TAKEOVERS, &self.takeover);
        group("transfer", &TRANSFERS, &self.transfer);
        group("received", &RECEIVED, &self.received);
        group("link", &LINKS, &self.link);
        group("clock", &CLOCK, &self.clock);
        group("refused", &REFUSALS, &self.refused);
        for (name, counts) in Threshold::NAMES.iter().zip(&self.aimed) {
            Beside::NAMES.iter().zip(counts).for_each(|(beside, count)| each("aimed", name, beside, *count));
        }
        for (name, counts) in Timing::NAMES.iter().zip(&self.timed) {
            Beside::NAMES.iter().zip(counts).for_each(|(beside, count)| each("timed", name, beside, *count));
        }
    }

    /// The number of cases that were never reached.
    pub fn unreached(&self) -> u32 {
        let mut unreached = 0;
        self.for_each(|_, _, _, count| unreached += u32::from(count == 0));
        unreached
    }

    pub(crate) fn aimed(&mut self, threshold: Threshold, beside: Beside) {
        self.aimed[threshold as usize][beside as usize] += 1;
    }

    pub(crate) fn timed(&mut self, timing: Timing, beside: Beside) {
        self.timed[timing as usize][beside as usize] += 1;
    }

    pub(crate) fn refused(&mut self, why: &PolicyError) {
        self.refused[refusal_kind(why)] += 1;
    }

    pub(crate) fn step<const N: usize>(&mut self, step: &Step<'_, N>) {
        let Step { policy, dt, wraps, outcome, .. } = step;
        if let Some(event) = outcome.event {
            self.event(step, event);
        }
        if let Some(waiting) = outcome.waiting {
            self.waiting[waiting_kind(waiting)] += 1;
        }
        self.pilot[match outcome.pilot {
            Pilot::Nobody => 0,
            Pilot::Instructor => 1,
            Pilot::Student(axes) if axes == policy.shared => 2,
            Pilot::Student(_) => 3,
        }] += 1;
        self.transfer[0] += u32::from(!outcome.pickup.is_empty());
        let (to_student, to_instructor) = fading(step);
        self.transfer[1] += u32::from(to_student);
        self.transfer[2] += u32::from(to_instructor);
        self.received[usize::from(reception(outcome.instructor))] += 1;
        self.received[3 + usize::from(reception(outcome.student))] += 1;
        self.link[usize::from(link(outcome.link))] += 1;
        self.clock[0] += u32::from(outcome.instructor_lost);
        self.clock[1] += u32::from(*dt == 0);
        self.clock[2] += u32::from(*wraps);
        self.clock[3] += u32::from(*dt > policy.late_step.as_ticks());
    }

    fn event<const N: usize>(&mut self, step: &Step<'_, N>, event: Event) {
        self.cause[event.cause.kind()] += 1;
        if let Cause::Stick(axis) = event.cause {
            self.takeover[usize::from(step.policy.scope == Scope::Axis)] += 1;
            let fixed = matches!(step.policy.axes[usize::from(axis)].rest, Rest::At(_));
            self.takeover[2 + usize::from(!fixed)] += 1;
        }
    }
}

/// Whether an axis fades to the student's stick, and whether one fades to the instructor's: its output is not where
/// that stick is, and the axis does not wait. A fade to a student who sent no frame in this step is not seen.
fn fading<const N: usize>(step: &Step<'_, N>) -> (bool, bool) {
    let Outcome { output, pilot, pickup, stick, .. } = &step.outcome;
    if *pilot == Pilot::Nobody {
        return (false, false);
    }
    let student = step.inputs.student.filter(|_| step.outcome.student == Reception::Good);
    let differ = |other: &Frame<N>| {
        (0..)
            .zip(output.axes().iter().zip(other.axes()))
            .filter(|(_, (output, other))| output != other)
            .fold(AxisSet::EMPTY, |set, (axis, _)| set.with(axis))
    };
    let flown = pilot.student();
    let to_student = student.is_some_and(|student| differ(student).meets(flown));
    (to_student, !differ(stick).except(flown | *pickup).is_empty())
}
