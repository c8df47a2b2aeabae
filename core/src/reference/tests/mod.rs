//! Scenarios that compare the model with the contract. Their values were calculated by hand.

mod fade;
mod latches;
mod losses;
mod pickup;
mod start;
mod takeover;
mod telling;

use super::Model;
use crate::{
    AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Frame, Inputs, Instant, Outcome, Pilot, Policy, Transfer,
};

/// A millisecond in microseconds.
const MS: u32 = 1_000;
/// Two points: the default `engage` of a sprung axis. Its `release` is half of that.
const ENGAGE: i16 = 328;
const RELEASE: i16 = 164;

/// Short times, all different, and no fade.
fn quick<const N: usize>(axes: [AxisRule; N]) -> Policy<N> {
    Policy {
        settle: Duration::from_millis(20),
        dwell: Duration::from_millis(100),
        fade: Duration::from_ticks(0),
        timeout: Duration::from_millis(50),
        requalify: Duration::from_millis(70),
        failsafe_after: Duration::from_millis(200),
        late_step: Duration::from_millis(250),
        ..Policy::new(axes)
    }
}

/// Two sprung axes, with short times.
fn sprung() -> Policy<2> {
    quick([AxisRule::sprung(); 2])
}

/// Axis 0 has `Pickup`, axis 1 `Snap`.
fn picked_up() -> Policy<2> {
    quick([AxisRule { transfer: Transfer::Pickup, ..AxisRule::sprung() }, AxisRule::sprung()])
}

fn frame<const N: usize>(bits: [i16; N]) -> Frame<N> {
    Frame::new(bits.map(Deflection::from_bits))
}

fn all<const N: usize>() -> Pilot {
    Pilot::Student(AxisSet::first(N))
}

/// A model and its inputs in every step, until a scenario changes them. Deflections are in 2^-14ths.
#[derive(Clone)]
struct Lesson<const N: usize> {
    model: Model<N>,
    now: u32,
    instructor: Option<[i16; N]>,
    student: Option<[i16; N]>,
    on: bool,
    button: bool,
}

impl<const N: usize> Lesson<N> {
    /// Sticks centred, the switch off, no step taken. The clock wraps 50 ms from here.
    fn new(policy: &CheckedPolicy<N>) -> Self {
        Self {
            model: Model::new(policy),
            now: 0_u32.wrapping_sub(50 * MS),
            instructor: Some([0; N]),
            student: Some([0; N]),
            on: false,
            button: false,
        }
    }

    /// A lesson that has run until the student flies these values and nothing fades.
    fn flown(policy: &CheckedPolicy<N>, student: [i16; N]) -> Self {
        let mut lesson = Self::new(policy);
        lesson.student = Some(student);
        lesson.run(5);
        lesson.on = true;
        let outcome = lesson.run(70);
        assert_eq!(outcome.pilot.student(), policy.policy().shared, "{:?}", outcome.waiting);
        lesson
    }

    /// One step, this long after the one before.
    fn after(&mut self, us: u32) -> Outcome<N> {
        self.now = self.now.wrapping_add(us);
        let (instructor, student) = (self.instructor.map(frame), self.student.map(frame));
        let inputs = Inputs {
            instructor: instructor.as_ref(),
            student: student.as_ref(),
            lesson_switch: self.on,
            instructor_now: self.button,
        };
        self.model.step(Instant::from_ticks(self.now), inputs)
    }

    /// One step 10 ms later.
    fn step(&mut self) -> Outcome<N> {
        self.after(10 * MS)
    }

    /// This many steps of 10 ms, at least one. Returns the outcome of the last.
    fn run(&mut self, steps: u32) -> Outcome<N> {
        for _ in 1..steps {
            let _ = self.step();
        }
        self.step()
    }

    /// One step 10 ms later, with the instructor's sticks there.
    fn move_to(&mut self, instructor: [i16; N]) -> Outcome<N> {
        self.instructor = Some(instructor);
        self.step()
    }
}
