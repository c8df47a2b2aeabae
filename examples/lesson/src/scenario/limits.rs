//! How far the instructor lets a mistake go.

use seeded::Random;

use super::airplane::View;

/// One instructor's limits; drawn once.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
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
    pub(super) fn of(rng: &mut Random) -> Self {
        Self {
            bank: rng.between(50.0, 60.0).to_radians(),
            sink: rng.between(4.5, 6.0),
            floor: rng.between(26.0, 32.0),
            climb: rng.between(28.0, 35.0).to_radians(),
            speed: rng.between(8.6, 9.2),
        }
    }

    /// The limit that is passed, in words.
    pub(super) fn passed(&self, view: &View) -> Option<&'static str> {
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
