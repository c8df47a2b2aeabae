//! People of the tests: one who flies well, and one who does everything that the page lets a person do.

use seeded::Random;

use super::super::*;

/// Flies level, or back to the spot, on what is seen in each frame.
pub(super) struct Able {
    craft: Craft,
    steady: Vec<f64>,
    place: Option<(f64, f64)>,
}

impl Able {
    pub(super) fn new(live: &Live, craft: Craft) -> Self {
        Self { craft, steady: live.axes().iter().map(|axis| axis.steady).collect(), place: None }
    }

    /// The sticks that recover the craft.
    pub(super) fn sticks(&mut self, craft: &CraftState) -> Vec<f64> {
        let mut sticks = self.steady.clone();
        let (x, y) = self.place.replace((craft.x, craft.y)).unwrap_or((craft.x, craft.y));
        let (to_x, to_y) = ((craft.x - x) / FRAME_S, (craft.y - y) / FRAME_S);
        if self.craft == Craft::Helicopter {
            let (sin, cos) = craft.heading.to_radians().sin_cos();
            let (east, north) = (1.2 * craft.x + 4.5 * to_x, 1.2 * craft.y + 4.5 * to_y);
            let lean = |lean: f64| lean.clamp(-17.0, 17.0);
            let (ahead, right) = (lean(north * cos + east * sin), lean(east * cos - north * sin));
            sticks[0] = 1.5 * (-right - craft.bank);
            sticks[1] = 1.5 * (ahead - craft.pitch);
            sticks[2] = 10.0 * (6.0 - craft.height) + 14.0 * craft.sink;
            sticks[3] = if craft.heading > 180.0 { 0.8 * (360.0 - craft.heading) } else { -0.8 * craft.heading };
        } else {
            let climb = 0.5 * (48.0 - craft.height);
            sticks[0] = -2.5 * craft.bank;
            sticks[1] = if craft.bank.abs() > 40.0 { 0.0 } else { 2.5 * (climb.clamp(-6.0, 6.0) - craft.pitch) };
        }
        sticks.iter().map(|points| points.clamp(-90.0, 90.0)).collect()
    }

    /// Whether the craft can be handed back.
    pub(super) fn has_recovered(&self, craft: &CraftState) -> bool {
        let level = craft.bank.abs() < 5.0 && craft.pitch.abs() < 6.0;
        let near = craft.x.abs() < 2.0 && craft.y.abs() < 2.0 && craft.speed < 0.7 && craft.sink.abs() < 0.3;
        let turned = craft.heading.min(360.0 - craft.heading) < 10.0;
        level && (self.craft != Craft::Helicopter || near && turned) && craft.height > 4.0
    }
}

/// Moves sticks and switches at random, cuts and freezes the link, loses the signal, makes noise.
pub(super) struct Restless {
    rng: Random,
    input: Input,
    steady: Vec<f64>,
    axes: usize,
}

impl Restless {
    pub(super) fn new(live: &Live, seed: u64) -> Self {
        let steady: Vec<f64> = live.axes().iter().map(|axis| axis.steady).collect();
        let input = Input { instructor: Some(steady.clone()), student: Some(steady.clone()), ..Input::default() };
        Self { rng: Random::stream(seed, 1), input, axes: steady.len(), steady }
    }

    /// The next frame.
    pub(super) fn next(&mut self) -> &Input {
        let rng = &mut self.rng;
        let axis = rng.below(self.axes);
        if rng.chance(0.02) {
            self.input.switch = rng.chance(0.85);
        }
        self.input.button = rng.chance(0.003);
        if rng.chance(0.02) {
            self.input.noise = if rng.chance(0.7) { 0.1 } else { rng.between(0.0, 2.0) };
        }
        if rng.chance(0.05) {
            self.input.link = *[Link::Good, Link::Good, Link::Good, Link::Cut, Link::Frozen].get(rng.below(5)).unwrap();
        }
        let mut sticks = self.input.instructor.take().unwrap_or_else(|| self.steady.clone());
        if rng.chance(0.03) {
            sticks[axis] = if rng.chance(0.6) { self.steady[axis] } else { rng.between(-100.0, 100.0) };
        }
        if rng.chance(0.02) {
            sticks.clone_from(&self.steady);
        }
        self.input.instructor = (!rng.chance(0.02)).then_some(sticks);
        if let Some(sticks) = &mut self.input.student {
            sticks[axis] = (sticks[axis] + 4.0 * rng.normal()).clamp(-100.0, 100.0);
        }
        &self.input
    }
}
