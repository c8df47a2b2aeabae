//! The trainer aeroplane of the simulated lesson, with its beginner.

use handback::Frame;

use super::FRAME_S;
use super::flown::{Flown, Stream, UNREST, compass, stream};
use super::state::CraftState;
use crate::scenario::{self, Controls, Habit, Limits, View};

/// Where it begins, in metres.
const HEIGHT: f64 = 48.0;
/// A touchdown that sinks faster than this, in m/s, or with more bank than this, in radians, is a crash. Own choice, no
/// source.
const HARD: (f64, f64) = (2.5, 0.5);

pub(super) struct Aeroplane {
    craft: scenario::Airplane,
    student: scenario::Student,
    limits: Limits,
    crashed: bool,
}

impl Aeroplane {
    pub(super) fn new(seed: u64, habit: Habit) -> Self {
        let craft = scenario::Airplane::cruising(HEIGHT, UNREST, stream(seed, Stream::Air, 0), FRAME_S);
        let (sticks, chance) = (scenario::student_sticks(seed, FRAME_S), stream(seed, Stream::Student, 0));
        let student = scenario::Student::new(craft.view(), sticks, chance, FRAME_S).with(habit);
        Self { craft, student, limits: Limits::of(&mut stream(seed, Stream::Limits, 0)), crashed: false }
    }
}

impl Flown for Aeroplane {
    fn fly(&mut self, controls: Controls) {
        if self.crashed {
            return;
        }
        let View { height, bank, .. } = self.craft.view();
        let sink = self.craft.view().sink();
        self.craft.fly(controls, FRAME_S);
        let (most_sink, most_bank) = HARD;
        let touches = height > 0.0 && self.craft.view().height <= 0.0;
        self.crashed = touches && (sink > most_sink || bank.abs() > most_bank);
    }

    fn student(&mut self, flies: bool) -> Frame<4> {
        self.student.step(self.craft.view(), flies)
    }

    fn mistake(&self) -> Option<&'static str> {
        self.student.mistake()
    }

    fn limit(&self) -> Option<&'static str> {
        let view = self.craft.view();
        if view.height > 0.0 { self.limits.passed(&view) } else { None }
    }

    fn state(&self) -> CraftState {
        let view = self.craft.view();
        CraftState {
            x: view.east,
            y: view.north,
            height: view.height,
            bank: view.bank.to_degrees(),
            pitch: view.climb_angle.to_degrees(),
            heading: compass(view.heading),
            speed: if self.crashed { 0.0 } else { view.speed },
            sink: if self.crashed { 0.0 } else { view.sink() },
            on_ground: view.height <= 0.0,
            crashed: self.crashed,
        }
    }
}
