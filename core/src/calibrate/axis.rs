//! One axis while the guide runs.

use super::learnt::LearntAxis;
use super::meter::RestMeter;
use super::motion::{Middle, Return, Still, Sweeps};
use super::noise::RestNoise;
use super::sequence::Prompt;
use super::step_size::StepSize;
use crate::quantity::{Reading, Unit};

/// Measurements of one axis so far.
#[derive(Clone, Copy, Debug)]
pub(super) struct Axis {
    pub(super) meter: RestMeter,
    noise: Option<RestNoise>,
    /// Quantisation step of all readings, at rest and moved.
    steps: StepSize,
    /// Largest difference between readings of a stick that stands still.
    slack: u16,
    /// Readings in the top right corner and in the bottom left corner.
    corners: [Option<u16>; 2],
    middle: Middle,
    still: Still,
    back: Return,
    sweeps: Sweeps,
    /// Largest distance from its centre at which the stick came to rest after it was let go.
    scatter: u16,
    past: u16,
    ring: u16,
    low: u16,
    high: u16,
    /// Whether the stick has done what the step asks for.
    pub(super) done: bool,
}

impl Axis {
    pub(super) const NEW: Self = Self {
        meter: RestMeter::new(),
        noise: None,
        steps: StepSize::NEW,
        slack: 0,
        corners: [None; 2],
        middle: Middle { centre: 0, half: 0 },
        still: Still::NEW,
        back: Return::NEW,
        sweeps: Sweeps::NEW,
        scatter: 0,
        past: 0,
        ring: 0,
        low: u16::MAX,
        high: 0,
        done: false,
    };

    /// Takes in one reading in this step of the guide.
    pub(super) fn take<U: Unit>(&mut self, step: Prompt, reading: Reading<U>, sprung: bool) {
        let reading = reading.to_bits();
        self.steps.take(reading);
        match step {
            Prompt::HandsOff => self.meter.take(reading),
            Prompt::TopRight => self.corner::<U>(reading, 0),
            Prompt::BottomLeft => self.corner::<U>(reading, 1),
            Prompt::LetGo if sprung => self.come_home(reading),
            Prompt::Stir => self.stir(reading, sprung),
            Prompt::LetGo | Prompt::Done => self.done = true,
        }
    }

    /// Ends the rest. Its noise sets `slack`, the limit for a stick that stands still.
    pub(super) fn rested<U: Unit>(&mut self) {
        let noise = self.meter.noise().unwrap_or_default();
        let apart = noise.peak_to_peak();
        self.slack = apart.saturating_add(apart >> 1).saturating_add(U::LEAST_TRAVEL >> 4);
        self.middle.centre = noise.centre;
        self.noise = Some(noise);
    }

    /// Begins the next step. After a corner, the middle is an eighth of the travel to it; after both, of the shorter
    /// travel.
    pub(super) fn begin(&mut self) {
        (self.still, self.back, self.done) = (Still::NEW, Return::NEW, false);
        let travels = self.corners.map(|corner| corner.map(|at| at.abs_diff(self.middle.centre)));
        if let [Some(travel), None] | [None, Some(travel)] = travels {
            self.middle.half = travel >> 3;
        } else if let [Some(one), Some(other)] = travels {
            self.middle.half = one.min(other) >> 3;
        }
    }

    /// Records a corner where the stick is held still, far enough from its centre, and not on the side of the other
    /// corner.
    fn corner<U: Unit>(&mut self, reading: u16, corner: usize) {
        let Some(at) = self.still.take(reading, self.slack) else { return };
        let centre = self.middle.centre;
        let far = at.abs_diff(centre) >= U::LEAST_TRAVEL;
        let [first, second] = &mut self.corners;
        if corner == 0 {
            *first = if far { Some(at) } else { None };
            self.done = far;
        } else {
            let other = first.is_none_or(|first| (first > centre) != (at > centre));
            *second = if far && other { Some(at) } else { None };
            self.done = far && other;
        }
    }

    fn come_home(&mut self, reading: u16) {
        let [first, second] = self.corners;
        let from = second.or(first).unwrap_or(self.middle.centre);
        let Some(home) = self.back.take(reading, self.middle, from > self.middle.centre, self.slack) else { return };
        if !self.done {
            self.scatter = self.scatter.max(home.at.abs_diff(self.middle.centre));
            self.past = self.past.max(home.past);
            self.ring = self.ring.max(home.ring);
        }
        self.done = true;
    }

    /// Takes in a reading of the sweeps. Done after `SWEEPS` sweeps; at once for a stick without a spring.
    fn stir(&mut self, reading: u16, sprung: bool) {
        (self.low, self.high) = (self.low.min(reading), self.high.max(reading));
        self.sweeps.take(reading, self.middle);
        self.done = !sprung || self.sweeps.count >= super::motion::SWEEPS;
    }

    /// The result, once the guide is done.
    pub(super) fn learnt<U: Unit>(&self, sprung: bool) -> LearntAxis<U> {
        // Once the guide is done, both corners are known. A channel with a travel of 0 would be refused.
        let [top, bottom] = self.corners.map(|corner| corner.unwrap_or(self.middle.centre));
        // If a corner was not held quite at the end, the sweeps correct it; `slack` takes off the noise of an extreme
        // reading.
        let high = top.max(bottom).max(self.high.saturating_sub(self.slack));
        let low = top.min(bottom).min(self.low.saturating_add(self.slack));
        // A stick without a spring rested where it was parked; its centre is half way between its ends.
        #[allow(clippy::cast_possible_truncation)] // a mean of readings
        let half_way = (u32::from(low).wrapping_add(u32::from(high)) >> 1) as u16;
        LearntAxis {
            sprung,
            low: Reading::from_bits(low),
            centre: Reading::from_bits(if sprung { self.middle.centre } else { half_way }),
            high: Reading::from_bits(high),
            reversed: top < bottom,
            noise: self.noise.unwrap_or_default(),
            step: self.steps.least,
            scatter: self.scatter,
            overshoot: self.past,
            ring: self.ring,
            slowest_sweep: self.sweeps.slowest(),
        }
    }
}
