//! The helicopter in the hover, with its beginner.

use handback::Frame;

use super::FRAME_S;
use super::flown::{Flown, Stream, UNREST, compass, stream};
use super::state::CraftState;
use crate::scenario::{Controls, HOVER_HEIGHT, Habit, Helicopter, HoverLimits, HoverStudent, Stick};

/// Which axis does not spring back.
const COLLECTIVE: usize = 2;
/// A touchdown that sinks faster than this, in m/s, or is tilted by more than this, in radians, is a crash. Own choice,
/// no source.
const HARD: (f64, f64) = (1.5, 0.25);

pub(super) struct Hovering {
    craft: Helicopter,
    student: HoverStudent,
    limits: HoverLimits,
    crashed: bool,
}

impl Hovering {
    pub(super) fn new(seed: u64, habit: Habit) -> Self {
        let craft = Helicopter::hovering(HOVER_HEIGHT, UNREST, stream(seed, Stream::Air, 0), FRAME_S);
        let sticks = core::array::from_fn(|axis| {
            let (make, life) = (stream(seed, Stream::Makes, axis), stream(seed, Stream::Sticks, axis));
            if axis == COLLECTIVE {
                Stick::unsprung(make, life, 0.0, FRAME_S)
            } else {
                Stick::sprung(make, life, FRAME_S)
            }
        });
        let student = HoverStudent::new(craft.view(), sticks, habit, stream(seed, Stream::Student, 0), FRAME_S);
        Self { craft, student, limits: HoverLimits::of(&mut stream(seed, Stream::Limits, 0)), crashed: false }
    }
}

impl Flown for Hovering {
    fn fly(&mut self, controls: Controls) {
        if self.crashed {
            return;
        }
        let before = self.craft.view();
        self.craft.fly(controls, FRAME_S);
        let (most_sink, most_tilt) = HARD;
        let touches = before.height > 0.0 && self.craft.view().height <= 0.0;
        let tilt = before.bank.abs().max(before.pitch.abs());
        self.crashed = touches && (-before.climb > most_sink || tilt > most_tilt);
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
            pitch: view.pitch.to_degrees(),
            heading: compass(view.heading),
            speed: view.speed(),
            sink: -view.climb,
            on_ground: view.height <= 0.0,
            crashed: self.crashed,
        }
    }
}
