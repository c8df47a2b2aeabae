//! How far the instructor lets a mistake go.

use seeded::Random;

use super::airplane::View;
use super::helicopter::HoverView;

/// One instructor's limits; drawn once.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Limits {
    /// Radians.
    bank: f64,
    /// Metres per second.
    sink: f64,
    /// Metres.
    floor: f64,
    /// Radians above the horizon.
    climb: f64,
    /// Metres per second.
    speed: f64,
}

impl Limits {
    pub(crate) fn of(rng: &mut Random) -> Self {
        Self {
            bank: rng.between(50.0, 60.0).to_radians(),
            sink: rng.between(4.5, 6.0),
            floor: rng.between(26.0, 32.0),
            climb: rng.between(28.0, 35.0).to_radians(),
            speed: rng.between(8.6, 9.2),
        }
    }

    /// The limit that is passed, in words.
    pub(crate) fn passed(&self, view: &View) -> Option<&'static str> {
        if view.bank.abs() > self.bank {
            Some("too much bank")
        } else if view.height < self.floor {
            Some("too low")
        } else if view.sink() > self.sink {
            Some("sinks too fast")
        } else if view.climb_angle > self.climb {
            Some("nose too high")
        } else if view.speed < self.speed {
            Some("too slow")
        } else {
            None
        }
    }
}

/// One instructor's limits for a helicopter in the hover; drawn once. Own choices, no source.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HoverLimits {
    /// Radians, to any side.
    tilt: f64,
    /// Metres from the spot.
    distance: f64,
    /// Metres per second over ground.
    speed: f64,
    /// Metres per second.
    sink: f64,
    /// Metres.
    floor: f64,
    ceiling: f64,
}

impl HoverLimits {
    pub(crate) fn of(rng: &mut Random) -> Self {
        Self {
            tilt: rng.between(28.0, 34.0).to_radians(),
            distance: rng.between(9.0, 11.0),
            speed: rng.between(4.0, 5.0),
            sink: rng.between(2.2, 2.8),
            floor: rng.between(1.5, 2.0),
            ceiling: rng.between(11.0, 13.0),
        }
    }

    /// The limit that is passed, in words.
    pub(crate) fn passed(&self, view: &HoverView) -> Option<&'static str> {
        if view.bank.abs() > self.tilt || view.pitch.abs() > self.tilt {
            Some("too much tilt")
        } else if view.height < self.floor {
            Some("too low")
        } else if view.climb < -self.sink {
            Some("sinks too fast")
        } else if view.height > self.ceiling {
            Some("too high")
        } else if view.speed() > self.speed {
            Some("too fast")
        } else if view.distance() > self.distance {
            Some("too far from the spot")
        } else {
            None
        }
    }
}
