//! A simulated lesson: a beginner with an electric trainer, an instructor with sticks of his own, and the box between.
//!
//! The model flies what the engine outputs, so the engine's decisions shape the lesson. Everything is drawn from one
//! seed, and only arithmetic that is the same on every machine is used (`libm` for what the hardware does not fix), so
//! a seed names a lesson to the bit. What people and model are like are own choices where no source stands beside a figure.
//!
//! | file | one idea |
//! |---|---|
//! | `airplane` | the model: lift, drag, thrust, stall |
//! | `helicopter`, `hover` | a helicopter in the hover and its student, for the live lesson alone |
//! | `stick`, `colour`, `pulse` | hand, spring and friction; noise; whole microseconds |
//! | `eyes` | people act on what they saw some tenths of a second ago |
//! | `habit` | late notice, overcontrol, and when mistakes begin |
//! | `student` | straights, turns and slips |
//! | `instructor`, `limits`, `rescue` | the procedure; how far a mistake may go; how the hands fly |
//! | `link` | frames that get lost |
//! | `policy` | the shipped policy, with learnt rests |

mod airplane;
mod colour;
mod eyes;
mod habit;
mod helicopter;
mod hover;
mod instructor;
mod limits;
mod link;
mod policy;
mod pulse;
mod rescue;
mod stick;
mod student;
#[cfg(test)]
mod tests;

use handback::{AxisSet, Deflection, Frame, Outcome};
use seeded::Random;

use crate::row::{Row, Truth};
use instructor::Instructor;
use link::{Link, Quality};

pub(crate) use airplane::{Airplane, CRUISE, Controls, View};
pub(crate) use habit::Habit;
pub(crate) use helicopter::Helicopter;
pub(crate) use hover::{HEIGHT as HOVER_HEIGHT, HoverStudent};
pub(crate) use limits::{HoverLimits, Limits};
pub(crate) use pulse::{deflection, width_us};
pub(crate) use stick::Stick;
pub(crate) use student::Student;

/// How many axes the lesson has.
pub(crate) const AXES: usize = 4;
/// Their names, axis 0 first.
pub(crate) const AXIS_NAMES: [&str; AXES] = ["aileron", "elevator", "throttle", "rudder"];

const AILERON: usize = 0;
const ELEVATOR: usize = 1;
const THROTTLE: usize = 2;
const RUDDER: usize = 3;
const THROTTLE_STICK: AxisSet = AxisSet::of(&[2]);

/// A lesson shows each loss of a signal for itself: none begins before the student has flown for so long, or with the
/// instructor's hands on the sticks. One by chance just after a hand-back would count as a flicker in which no stick had
/// a part; one that hides a touch makes it look late.
const SPARED_S: f64 = 2.0;
/// Where the student's throttle is at the start, in points.
const STUDENT_THROTTLE: f64 = -20.0;

/// A lesson to come, row by row.
#[derive(Clone, Debug)]
pub(crate) struct Scenario {
    step: u64,
    steps: u64,
    frame_us: u64,
    airplane: Airplane,
    student: Student,
    student_link: Link,
    instructor: Instructor,
    instructor_link: Link,
    /// How long the student has had the craft without a break.
    flown_s: f64,
    /// The instructor's sticks of the last row: what the model flies where there is no engine.
    sticks: Frame<AXES>,
}

impl Scenario {
    /// The lesson of this seed and length. A seed has frames of either 20 or 22.5 ms, and one step a frame.
    pub(crate) fn new(seed: u64, minutes: f64) -> Self {
        let frame_us = if stream(seed, Stream::Frames).chance(0.5) { 20_000 } else { 22_500 };
        #[allow(clippy::cast_precision_loss)]
        let dt = frame_us as f64 / 1e6;
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates, which is long enough
        let steps = (minutes.max(0.0) * 60.0 / dt).round() as u64;
        let airplane = Airplane::cruising(45.0, 1.0, stream(seed, Stream::Air), dt);
        let parked = parked_throttle(seed);
        Self {
            step: 0,
            steps,
            frame_us,
            student: Student::new(airplane.view(), student_sticks(seed, dt), stream(seed, Stream::Student), dt),
            student_link: Link::new(Quality::STUDENT, stream(seed, Stream::StudentLink), dt),
            instructor: Instructor::new(
                airplane.view(),
                instructor_sticks(seed, Stream::InstructorSticks, dt),
                parked,
                stream(seed, Stream::Instructor),
                dt,
            ),
            instructor_link: Link::new(Quality::INSTRUCTOR, stream(seed, Stream::InstructorLink), dt),
            airplane,
            flown_s: 0.0,
            sticks: Frame::CENTRE,
        }
    }

    /// How many rows the lesson has.
    pub(crate) fn steps(&self) -> u64 {
        self.steps
    }

    /// The next row and what is true of it, given what the engine made of the row before (`None` at the first).
    ///
    /// The model flies that outcome's output. Without one it flies the instructor's sticks. `None` after the last row.
    pub(crate) fn next(&mut self, last: Option<&Outcome<AXES>>) -> Option<(Row<AXES>, Truth)> {
        if self.step >= self.steps {
            return None;
        }
        #[allow(clippy::cast_precision_loss)]
        let dt = self.frame_us as f64 / 1e6;
        if self.step > 0 {
            let output = last.map_or(self.sticks, |outcome| outcome.output);
            self.airplane.fly(output.axes().map(fraction), dt);
        }
        let view = self.airplane.view();
        let act = self.instructor.step(view, last);
        let flies = last.is_some_and(|outcome| !outcome.pilot.student().is_empty());
        self.flown_s = if flies { self.flown_s + dt } else { 0.0 };
        let spared = self.flown_s < SPARED_S || act.meant;
        let student = self.student.step(view, flies);
        self.sticks = act.frame;
        let row = Row {
            time_us: self.step * self.frame_us,
            instructor: self.instructor_link.carries(spared).then_some(act.frame),
            student: self.student_link.carries(spared).then_some(student),
            lesson_switch: act.lesson_switch,
            instructor_now: act.instructor_now,
        };
        let truth = Truth {
            height_m: view.height,
            bank_deg: view.bank.to_degrees(),
            sink_mps: view.sink(),
            meant: act.meant,
            reason: act.reason,
            mistake_height_m: act.mistake_height,
        };
        self.step += 1;
        Some((row, truth))
    }
}

/// Who draws from which stream of chance.
#[derive(Clone, Copy, Debug)]
enum Stream {
    Frames = 1,
    Air,
    Student,
    StudentLink,
    Instructor,
    InstructorLink,
    /// From here on one for every axis.
    Makes = 16,
    StudentMakes = 24,
    StudentSticks = 32,
    InstructorSticks = 40,
    Calibration = 48,
}

fn stream(seed: u64, stream: Stream) -> Random {
    Random::stream(seed, stream as u64)
}

fn axis_stream(seed: u64, first: Stream, axis: usize) -> Random {
    Random::stream(seed, first as u64 + axis as u64)
}

/// Near cruise, but not where the student's is.
fn parked_throttle(seed: u64) -> f64 {
    axis_stream(seed, Stream::Makes, THROTTLE).between(-14.0, 4.0)
}

pub(crate) fn student_sticks(seed: u64, dt: f64) -> [Stick; AXES] {
    sticks(seed, Stream::StudentMakes, Stream::StudentSticks, STUDENT_THROTTLE, dt)
}

/// The instructor's sticks: always of the same make, whatever happens to them in `life`.
fn instructor_sticks(seed: u64, life: Stream, dt: f64) -> [Stick; AXES] {
    sticks(seed, Stream::Makes, life, parked_throttle(seed), dt)
}

fn sticks(seed: u64, makes: Stream, life: Stream, parked: f64, dt: f64) -> [Stick; AXES] {
    core::array::from_fn(|axis| {
        let (make, life) = (axis_stream(seed, makes, axis), axis_stream(seed, life, axis));
        if axis == THROTTLE { Stick::unsprung(make, life, parked, dt) } else { Stick::sprung(make, life, dt) }
    })
}

/// One frame later: what a transmitter with these sticks sends.
fn frame(sticks: &mut [Stick; AXES]) -> Frame<AXES> {
    Frame::new(sticks.each_mut().map(|stick| pulse::deflection(stick.read())))
}

/// A deflection as a fraction of full travel; beyond the end the servo stops.
pub(crate) fn fraction(deflection: Deflection) -> f64 {
    (f64::from(deflection.to_bits()) / 16384.0).clamp(-1.0, 1.0)
}
