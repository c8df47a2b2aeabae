//! Hand-made lessons for tests: outcomes row by row, without an engine.

use handback::{AxisRule, AxisSet, Cause, Deflection, Event, Frame, Link, Outcome, Pilot, Policy, Reception, Waiting};

use super::{Differs, Tally};
use crate::row::{Row, Truth};

/// A default policy for aileron, elevator and throttle.
pub(crate) fn policy() -> Policy<3> {
    let idle = Deflection::from_points(-100);
    Policy::new([AxisRule::sprung(), AxisRule::sprung(), AxisRule::unsprung(idle)])
}

/// A lesson that is built step by step; the fields apply to the next steps.
pub(crate) struct Lesson {
    pub(crate) tally: Tally<3>,
    pub(crate) differs: Differs,
    pub(crate) meant: Option<bool>,
    pub(crate) reason: &'static str,
    pub(crate) mistake_m: Option<f64>,
    pub(crate) height_m: f64,
    pub(crate) link: Link,
    pub(crate) reception: (Reception, Reception),
    /// The output is the student's stick, whatever pilot the outcome names.
    pub(crate) output_lags: bool,
    /// The next changes of pilot have no event.
    pub(crate) swallow_event: bool,
    /// A wrong pilot before the change, for the next event to name.
    pub(crate) claims_from: Option<Pilot>,
    pub(crate) waiting: Option<Waiting>,
    pub(crate) held: AxisSet,
    /// The axes that wait for their stick: their output is the student's stick.
    pub(crate) pickup: AxisSet,
    pub(crate) instructor_now: bool,
    instructor: Frame<3>,
    student: Frame<3>,
    pilot: Pilot,
}

impl Lesson {
    pub(crate) fn new() -> Self {
        Self::under(policy())
    }

    pub(crate) fn under(policy: Policy<3>) -> Self {
        Self::of(&["aileron", "elevator", "throttle"].map(String::from), policy)
    }

    pub(crate) fn called(names: &[String; 3]) -> Self {
        Self::of(names, policy())
    }

    fn of(names: &[String; 3], policy: Policy<3>) -> Self {
        Self {
            tally: Tally::new(names.to_vec(), &policy.check().unwrap()),
            differs: Differs::default(),
            meant: None,
            reason: "",
            mistake_m: None,
            height_m: 0.0,
            link: Link::Good,
            reception: (Reception::Good, Reception::Good),
            output_lags: false,
            swallow_event: false,
            claims_from: None,
            waiting: None,
            held: AxisSet::EMPTY,
            pickup: AxisSet::EMPTY,
            instructor_now: false,
            instructor: Frame::CENTRE,
            student: Frame::new([-30, 20, 10].map(Deflection::from_points)),
            pilot: Pilot::Instructor,
        }
    }

    /// Moves the instructor's stick to this many points.
    pub(crate) fn stick(&mut self, axis: usize, points: i16) -> &mut Self {
        self.stick_at(axis, Deflection::from_points(points))
    }

    /// Moves the instructor's stick to exactly this deflection.
    pub(crate) fn stick_at(&mut self, axis: usize, deflection: Deflection) -> &mut Self {
        self.instructor.axes_mut()[axis] = deflection;
        self
    }

    /// Moves the student's stick to this many points.
    pub(crate) fn students_stick(&mut self, axis: usize, points: i16) -> &mut Self {
        self.student.axes_mut()[axis] = Deflection::from_points(points);
        self
    }

    /// Steps every 20 ms from one millisecond to another, both included.
    pub(crate) fn fly(&mut self, from_ms: u64, to_ms: u64) -> &mut Self {
        for ms in (from_ms..=to_ms).step_by(20) {
            self.step(ms, None);
        }
        self
    }

    /// From the next step on nobody flies; no event announces it.
    pub(crate) fn nobody(&mut self) -> &mut Self {
        self.pilot = Pilot::Nobody;
        self
    }

    /// From the next step on the instructor flies; no event announces it.
    pub(crate) fn instructor(&mut self) -> &mut Self {
        self.pilot = Pilot::Instructor;
        self
    }

    /// A step in which the student gets all axes.
    pub(crate) fn hand_back_at(&mut self, ms: u64) -> &mut Self {
        self.change(ms, Pilot::Student(AxisSet::first(3)), Cause::HandedBack)
    }

    /// A step in which the student loses all axes.
    pub(crate) fn take_over_at(&mut self, ms: u64, cause: Cause) -> &mut Self {
        self.change(ms, Pilot::Instructor, cause)
    }

    /// A step that changes the pilot.
    pub(crate) fn change(&mut self, ms: u64, to: Pilot, cause: Cause) -> &mut Self {
        let from = std::mem::replace(&mut self.pilot, to);
        self.step(ms, Some((from, cause)));
        self
    }

    fn step(&mut self, ms: u64, change: Option<(Pilot, Cause)>) {
        let row = Row {
            time_us: ms * 1000,
            instructor: (self.reception.0 != Reception::Nothing).then_some(self.instructor),
            student: (self.reception.1 != Reception::Nothing).then_some(self.student),
            lesson_switch: true,
            instructor_now: self.instructor_now,
        };
        let claims_from = self.claims_from.take();
        let event = change.filter(|_| !self.swallow_event).map(|(from, cause)| Event {
            at: row.now(),
            from: claims_from.unwrap_or(from),
            to: self.pilot,
            cause,
        });
        let students = if self.output_lags { AxisSet::ALL } else { self.pilot.student() | self.pickup };
        let mut output = self.instructor;
        for axis in students.iter().map(usize::from).filter(|&axis| axis < 3) {
            output.axes_mut()[axis] = self.student.axes()[axis];
        }
        let outcome = Outcome {
            at: row.now(),
            output,
            pilot: self.pilot,
            event,
            waiting: self.waiting,
            held: self.held,
            pickup: self.pickup,
            stick: self.instructor,
            instructor: self.reception.0,
            student: self.reception.1,
            instructor_lost: false,
            link: self.link,
            late_step: false,
        };
        let truth = self.meant.map(|meant| Truth {
            height_m: self.height_m,
            bank_deg: 0.0,
            sink_mps: 0.0,
            meant,
            reason: self.reason,
            mistake_height_m: self.mistake_m,
        });
        self.tally.observe(&row, &outcome, truth.as_ref(), self.differs);
    }
}
