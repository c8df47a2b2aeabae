//! The model: an electric trainer of our own, 1.4 kg and 1.4 m, as a point with lift, drag and thrust.
//!
//! Energy changes by thrust and drag alone, lift turns the path, and a wing that is asked for too much stalls.

use core::f64::consts::{FRAC_PI_2, PI, TAU};

use seeded::Random;

use super::colour::Colour;

/// Standard gravity, m/s2 (3rd CGPM, 1901).
pub(super) const GRAVITY: f64 = 9.80665;
// The model is made up: its figures are own choices, unless they say otherwise.
const MASS: f64 = 1.4;
const WING_AREA: f64 = 0.28;
/// At sea level, kg/m3 (standard atmosphere, ISO 2533:1975, from memory).
const AIR_DENSITY: f64 = 1.225;
/// Drag without lift, propeller and landing gear included.
const DRAG_AT_NO_LIFT: f64 = 0.045;
/// Drag per square of lift: 1 / (pi x aspect ratio 7 x span efficiency 0.7).
const DRAG_PER_LIFT_SQUARED: f64 = 0.065;
/// The lift that the wing makes with the elevator at its centre: level at 13 m/s, mass x g / (density / 2 x 13^2 x area).
const LIFT_TRIMMED: f64 = 0.474;
/// What full elevator adds to it or takes from it.
const LIFT_PER_ELEVATOR: f64 = 0.8;
const LIFT_AT_STALL: f64 = 1.15;
const STATIC_THRUST: f64 = 8.0;
/// Where the propeller stops pulling, m/s.
const THRUST_ENDS_AT: f64 = 28.0;
/// The speed that the model is trimmed for, m/s.
pub(crate) const CRUISE: f64 = 13.0;

/// The model in the air. Angles in radians, right wing down and nose right positive.
#[derive(Clone, Debug)]
pub(crate) struct Airplane {
    /// Metres from where it began.
    north: f64,
    east: f64,
    /// Metres above ground; exactly 0 means that it is on the ground.
    height: f64,
    /// Metres per second through the air.
    speed: f64,
    /// The path above the horizon.
    climb_angle: f64,
    bank: f64,
    heading: f64,
    roll_rate: f64,
    /// Lift coefficient that the pilot asks for, after the model has pitched to it.
    lift: f64,
    /// 0 to 1, after the motor has spun up.
    power: f64,
    air: Air,
}

/// The air's unrest: it rolls the model and lifts its path, in radians per second.
#[derive(Clone, Debug)]
struct Air {
    roll: f64,
    rise: f64,
    strength: f64,
    colour: Colour,
    rng: Random,
}

/// What can be seen of the model from the ground.
#[derive(Clone, Copy, Debug)]
pub(crate) struct View {
    /// Metres from where it began. There is no wind.
    pub(crate) north: f64,
    pub(crate) east: f64,
    /// Metres above ground.
    pub(crate) height: f64,
    /// Metres per second.
    pub(crate) speed: f64,
    /// Radians, right wing down positive.
    pub(crate) bank: f64,
    /// Radians per second.
    pub(crate) roll_rate: f64,
    /// Radians above the horizon.
    pub(crate) climb_angle: f64,
    /// Radians from north, nose right positive, without a wrap.
    pub(crate) heading: f64,
}

impl View {
    /// Metres per second, down positive.
    pub(crate) fn sink(&self) -> f64 {
        -self.speed * libm::sin(self.climb_angle)
    }
}

/// The controls as fractions of full travel: aileron, elevator (up positive), throttle, rudder.
pub(crate) type Controls = [f64; 4];

impl Airplane {
    /// In level cruise at this height, in air of this unrest (1 is a breezy day, 0 is calm).
    pub(crate) fn cruising(height: f64, unrest: f64, mut rng: Random, dt: f64) -> Self {
        let strength = unrest * rng.between(0.6, 1.2);
        let air = Air { roll: 0.0, rise: 0.0, strength, colour: Colour::new(0.7, dt), rng };
        Self {
            north: 0.0,
            east: 0.0,
            height,
            speed: CRUISE,
            climb_angle: 0.0,
            bank: 0.0,
            heading: 0.0,
            roll_rate: 0.0,
            lift: LIFT_TRIMMED,
            power: 0.4,
            air,
        }
    }

    /// What can be seen of it now.
    pub(crate) fn view(&self) -> View {
        View {
            north: self.north,
            east: self.east,
            height: self.height,
            speed: self.speed,
            bank: self.bank,
            roll_rate: self.roll_rate,
            climb_angle: self.climb_angle,
            heading: self.heading,
        }
    }

    /// One frame of flight.
    pub(crate) fn fly(&mut self, [aileron, elevator, throttle, rudder]: Controls, dt: f64) {
        self.air.stir();
        self.power += (0.5 * (throttle + 1.0) - self.power).clamp(-1.0, 1.0) * (dt / 0.3);
        self.lift += (LIFT_TRIMMED + LIFT_PER_ELEVATOR * elevator - self.lift) * (dt / 0.12);
        self.roll(aileron, rudder, dt);
        self.move_along(rudder, dt);
        self.meet_the_ground();
    }

    /// Ailerons roll it, rudder a little, and the dihedral of a trainer levels it slowly.
    fn roll(&mut self, aileron: f64, rudder: f64, dt: f64) {
        let asked = (2.3 * aileron + 0.3 * rudder) * (self.speed / CRUISE) - 0.25 * self.bank.clamp(-1.0, 1.0);
        self.roll_rate += (asked - self.roll_rate) * (dt / 0.12);
        self.bank += (self.roll_rate + self.air.roll) * dt;
        if self.bank.abs() > PI {
            self.bank -= TAU * self.bank.signum();
        }
    }

    fn move_along(&mut self, rudder: f64, dt: f64) {
        let (lift, drag) = self.lift_and_drag();
        let pressure = 0.5 * AIR_DENSITY * self.speed * self.speed * WING_AREA / MASS;
        let thrust = STATIC_THRUST * self.power * (1.0 - self.speed / THRUST_ENDS_AT).max(0.0) / MASS;
        let (sin_climb, cos_climb) = (libm::sin(self.climb_angle), libm::cos(self.climb_angle));
        let speed = self.speed.max(3.0); // a model that hangs on its propeller still falls over

        let turn = pressure * lift * libm::sin(self.bank) / (speed * cos_climb.max(0.2)) + 0.35 * rudder;
        let bend = (pressure * lift * libm::cos(self.bank) - GRAVITY * cos_climb) / speed;
        let over_ground = self.speed * cos_climb * dt;
        self.north += over_ground * libm::cos(self.heading);
        self.east += over_ground * libm::sin(self.heading);
        self.height += self.speed * sin_climb * dt;
        self.speed = (self.speed + (thrust - pressure * drag - GRAVITY * sin_climb) * dt).max(1.0);
        self.climb_angle = (self.climb_angle + (bend + self.air.rise) * dt).clamp(-FRAC_PI_2, FRAC_PI_2);
        self.heading += turn * dt;
    }

    /// Lift and drag coefficients. Past the stall, what the pilot asks for beyond it is lost and drags.
    fn lift_and_drag(&self) -> (f64, f64) {
        let excess = (self.lift - LIFT_AT_STALL).max(0.0);
        let lift = if excess > 0.0 { (LIFT_AT_STALL - 1.5 * excess).max(0.5) } else { self.lift };
        (lift, DRAG_AT_NO_LIFT + DRAG_PER_LIFT_SQUARED * self.lift * self.lift + 0.8 * excess)
    }

    /// On the ground it stands level and goes nowhere but up. Its height, exactly 0, tells.
    fn meet_the_ground(&mut self) {
        if self.height <= 0.0 {
            self.height = 0.0;
            self.climb_angle = self.climb_angle.max(0.0);
            (self.bank, self.roll_rate) = (0.0, 0.0);
        }
    }
}

impl Air {
    fn stir(&mut self) {
        let (roll, rise) = (0.14 * self.strength, 0.05 * self.strength);
        if self.strength > 0.0 {
            self.roll = roll * self.colour.next(self.roll / roll, &mut self.rng);
            self.rise = rise * self.colour.next(self.rise / rise, &mut self.rng);
        }
    }
}

#[cfg(test)]
mod tests;
