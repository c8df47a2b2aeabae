//! A craft in the air with the beginner who learns to fly it.

use handback::Frame;
use seeded::Random;

use super::plan::{Craft, Plan, Student};
use super::state::CraftState;
use crate::scenario::{Controls, Habit};

/// How steady the air is: 1 is a breezy day.
pub(super) const UNREST: f64 = 0.6;

/// A craft, its beginner, and the limits of the instructor.
pub(super) trait Flown: Send {
    /// One frame of flight. A craft that crashed stays where it is.
    fn fly(&mut self, controls: Controls);
    /// One frame later: the sticks of the beginner, who is told whether any axis is the student's.
    fn student(&mut self, flies: bool) -> Frame<4>;
    /// The mistake that the beginner's hands make.
    fn mistake(&self) -> Option<&'static str>;
    /// The limit that is passed in the air.
    fn limit(&self) -> Option<&'static str>;
    fn state(&self) -> CraftState;
}

/// The craft and the beginner of this plan.
pub(super) fn of(plan: &Plan) -> Box<dyn Flown> {
    let habit = match plan.student {
        Student::Beginner | Student::Person => Habit::ByChance,
        Student::Drill => Habit::Drill,
    };
    match plan.craft {
        Craft::Aeroplane | Craft::Many => Box::new(super::aeroplane::Aeroplane::new(plan.seed, habit)),
        Craft::Helicopter => Box::new(super::helicopter::Hovering::new(plan.seed, habit)),
    }
}

/// Who draws from which stream of chance; none is one of the simulated lesson's.
#[derive(Clone, Copy, Debug)]
pub(super) enum Stream {
    Air = 64,
    Student,
    Limits,
    Noise,
    /// From here on one for every axis.
    Makes = 80,
    Sticks = 96,
}

pub(super) fn stream(seed: u64, stream: Stream, axis: usize) -> Random {
    Random::stream(seed, stream as u64 + axis as u64)
}

/// Degrees from 0 to below 360.
pub(super) fn compass(radians: f64) -> f64 {
    let degrees = radians.to_degrees();
    degrees - 360.0 * (degrees / 360.0).floor()
}
