//! A person at a transmitter: the positions of the sticks and where they go.

use trainer_box_bench::transmitter::Sticks;

use crate::order::All;

/// The distance that a stick moves in a turn of the desk, in tenths of a point: by a hand, by its spring, in a sweep.
const HAND: i64 = 150;
const SPRING: i64 = 300;
const SWEEP: i64 = 50;
/// The axis without a spring.
const THROTTLE: usize = 2;
const END: i64 = 1_000;

#[derive(Clone, Copy, Debug)]
pub(crate) struct Pilot {
    pub(crate) at: Sticks,
    to: Sticks,
    speed: i64,
    sweeps: bool,
}

impl Pilot {
    /// Sticks at rest, throttle low.
    pub(crate) const NEW: Self = Self { at: [0, 0, -END, 0], to: [0, 0, -END, 0], speed: HAND, sweeps: false };

    pub(crate) fn stick(&mut self, axis: usize, to: i64) {
        if self.sweeps {
            self.all(All::LetGo);
        }
        (self.to[axis], self.speed) = (to, HAND);
    }

    pub(crate) fn all(&mut self, how: All) {
        self.sweeps = how == All::Sweep;
        self.speed = match how {
            All::LetGo => SPRING,
            All::Sweep => SWEEP,
            _ => HAND,
        };
        self.to = match how {
            All::UpRight | All::Sweep => [END; 4],
            All::DownLeft => [-END; 4],
            All::LetGo => std::array::from_fn(|axis| if axis == THROTTLE { self.at[axis] } else { 0 }),
            All::Middle => [0; 4],
        };
    }

    /// A turn of the desk.
    pub(crate) fn pass(&mut self) {
        for (at, to) in self.at.iter_mut().zip(&mut self.to) {
            *at += (*to - *at).clamp(-self.speed, self.speed);
            if self.sweeps && at == to {
                *to = -*to;
            }
        }
    }
}
