//! The most expensive step so far, and where it was.

use core::fmt::{self, Display, Formatter};

use handback::Scope;

use crate::counter::Cost;

/// A trace.
#[derive(Clone, Copy, Debug)]
pub enum Place {
    /// A flight of the conformance check.
    Flight(u32),
    /// A random flight with everything on.
    EverythingOn(u32),
    /// A scene.
    Scene(&'static str, Scope),
}

/// The step with the largest figure so far.
#[derive(Clone, Copy, Debug)]
pub struct Worst {
    /// The figure.
    pub figure: u32,
    place: Place,
    step: u32,
}

/// The cost of the steps so far.
#[derive(Debug)]
pub struct Tally {
    place: Place,
    /// Steps of this trace.
    step: u32,
    /// Steps of all traces.
    pub steps: u32,
    /// The step with the most instructions.
    pub dearest: Option<Worst>,
    /// The step with the most stack.
    pub deepest: Option<Worst>,
}

impl Tally {
    /// From here on, steps belong to this trace.
    pub const fn begin(&mut self, place: Place) {
        self.place = place;
        self.step = 0;
    }

    /// Adds a step.
    pub fn note(&mut self, cost: Cost) {
        let Self { place, step, .. } = *self;
        let note = |worst: &mut Option<Worst>, figure| {
            if worst.is_none_or(|worst| figure > worst.figure) {
                *worst = Some(Worst { figure, place, step });
            }
        };
        note(&mut self.dearest, cost.instructions);
        note(&mut self.deepest, cost.stack);
        self.step += 1;
        self.steps += 1;
    }
}

impl Default for Tally {
    fn default() -> Self {
        Self { place: Place::Flight(0), step: 0, steps: 0, dearest: None, deepest: None }
    }
}

impl Display for Worst {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let Self { figure, place, step } = self;
        match place {
            Place::Flight(number) => write!(f, "{figure} flight {number}, step {step}"),
            Place::EverythingOn(seed) => write!(f, "{figure} everything on {seed}, step {step}"),
            Place::Scene(name, Scope::Craft) => write!(f, "{figure} {name}, scope craft, step {step}"),
            Place::Scene(name, Scope::Axis) => write!(f, "{figure} {name}, scope axis, step {step}"),
        }
    }
}
