//! A model helicopter of our own in the hover, as a point that the rotor pushes along its axis.
//!
//! The cyclic stick tilts the rotor, the tilt accelerates the model, the collective lifts against weight, the tail turns
//! it. All figures are own choices, no source. Left out: ground effect, torque, and all that a rotor does at speed.

use core::f64::consts::{FRAC_PI_2, PI, TAU};

use seeded::Random;

use super::airplane::{Controls, GRAVITY};
use super::colour::Colour;

/// Radians per second at full cyclic stick.
const TILT_RATE: f64 = 1.8;
/// A beginner's rotor levels itself slowly, 1/s.
const LEVELLING: f64 = 0.5;
/// What full collective adds to the lift or takes from it, as a share of the weight; at its centre it hovers.
const LIFT_PER_COLLECTIVE: f64 = 0.8;
/// Climbing and sinking change the flow through the rotor: the share of the climb that is lost every second.
const HEAVE_DAMPING: f64 = 0.8;
/// The same of the speed over ground, by drag.
const DRAG: f64 = 0.25;
/// Radians per second at full tail stick; a gyro holds the heading otherwise.
const TURN_RATE: f64 = 2.6;
/// How long the model takes to answer a stick, in seconds.
const LAG_S: f64 = 0.1;
/// Gusts, m/s2.
const GUST: f64 = 0.25;

/// The model in the air. Angles in radians: right side down, nose up and nose right are positive.
#[derive(Clone, Debug)]
pub(crate) struct Helicopter {
    view: HoverView,
    /// Radians per second.
    roll_rate: f64,
    pitch_rate: f64,
    turn_rate: f64,
    /// Lift as a share of the weight.
    lift: f64,
    gusts: [f64; 2],
    unrest: f64,
    colour: Colour,
    rng: Random,
}

/// What can be seen of the model from the ground.
#[derive(Clone, Copy, Debug)]
pub(crate) struct HoverView {
    /// Metres from the spot over which it began.
    pub(crate) north: f64,
    pub(crate) east: f64,
    /// Metres above ground; exactly 0 means that it is on the ground.
    pub(crate) height: f64,
    /// Metres per second.
    pub(crate) to_north: f64,
    pub(crate) to_east: f64,
    pub(crate) climb: f64,
    pub(crate) bank: f64,
    pub(crate) pitch: f64,
    /// Radians from north, without a wrap.
    pub(crate) heading: f64,
}

impl HoverView {
    /// Metres per second over ground.
    pub(crate) fn speed(&self) -> f64 {
        libm::hypot(self.to_north, self.to_east)
    }

    /// Metres from the spot over which it began.
    pub(crate) fn distance(&self) -> f64 {
        libm::hypot(self.north, self.east)
    }
}

impl Helicopter {
    /// Hovers at this height, nose to the north, in air of this unrest (1 is a breezy day, 0 is calm).
    pub(crate) fn hovering(height: f64, unrest: f64, rng: Random, dt: f64) -> Self {
        let (north, east, to_north, to_east, climb) = (0.0, 0.0, 0.0, 0.0, 0.0);
        let (bank, pitch, heading) = (0.0, 0.0, 0.0);
        Self {
            view: HoverView { north, east, height, to_north, to_east, climb, bank, pitch, heading },
            roll_rate: 0.0,
            pitch_rate: 0.0,
            turn_rate: 0.0,
            lift: 1.0,
            gusts: [0.0; 2],
            unrest,
            colour: Colour::new(1.5, dt),
            rng,
        }
    }

    /// What can be seen of it now.
    pub(crate) fn view(&self) -> HoverView {
        self.view
    }

    /// One frame of flight. The controls are roll, pitch (nose up positive), collective and yaw.
    pub(crate) fn fly(&mut self, [roll, pitch, collective, yaw]: Controls, dt: f64) {
        let lag = dt / LAG_S;
        let view = &mut self.view;
        self.roll_rate += (TILT_RATE * roll - LEVELLING * view.bank - self.roll_rate) * lag;
        self.pitch_rate += (TILT_RATE * pitch - LEVELLING * view.pitch - self.pitch_rate) * lag;
        self.turn_rate += (TURN_RATE * yaw - self.turn_rate) * lag;
        self.lift += (1.0 + LIFT_PER_COLLECTIVE * collective - self.lift) * lag;
        view.bank += self.roll_rate * dt;
        if view.bank.abs() > PI {
            view.bank -= TAU * view.bank.signum();
        }
        view.pitch = (view.pitch + self.pitch_rate * dt).clamp(-FRAC_PI_2, FRAC_PI_2);
        view.heading += self.turn_rate * dt;
        self.push(dt);
        self.meet_the_ground();
    }

    /// The lift along the axis of the rotor, weight, drag and gusts move it.
    fn push(&mut self, dt: f64) {
        for gust in &mut self.gusts {
            *gust = self.colour.next(*gust, &mut self.rng);
        }
        let [north_gust, east_gust] = self.gusts.map(|gust| GUST * self.unrest * gust);
        let view = &mut self.view;
        let (sin_bank, cos_bank) = (libm::sin(view.bank), libm::cos(view.bank));
        let (sin_pitch, cos_pitch) = (libm::sin(view.pitch), libm::cos(view.pitch));
        let (sin_heading, cos_heading) = (libm::sin(view.heading), libm::cos(view.heading));
        // The axis of a body that is turned by heading, then pitch, then bank.
        let (ahead, right) = (-cos_bank * sin_pitch, sin_bank);
        let lift = GRAVITY * self.lift;
        let north = lift * (ahead * cos_heading - right * sin_heading) - DRAG * view.to_north + north_gust;
        let east = lift * (ahead * sin_heading + right * cos_heading) - DRAG * view.to_east + east_gust;
        let up = lift * cos_bank * cos_pitch - GRAVITY - HEAVE_DAMPING * view.climb;
        view.to_north += north * dt;
        view.to_east += east * dt;
        view.climb += up * dt;
        view.north += view.to_north * dt;
        view.east += view.to_east * dt;
        view.height += view.climb * dt;
    }

    /// On the ground it stands level and still until it is lifted. Its height, exactly 0, tells.
    fn meet_the_ground(&mut self) {
        let view = &mut self.view;
        if view.height <= 0.0 {
            (view.height, view.to_north, view.to_east) = (0.0, 0.0, 0.0);
            (view.bank, view.pitch, self.roll_rate, self.pitch_rate) = (0.0, 0.0, 0.0, 0.0);
            view.climb = view.climb.max(0.0);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const DT: f64 = 0.02;

    fn calm() -> Helicopter {
        Helicopter::hovering(50.0, 0.0, Random::stream(0, 0), DT)
    }

    fn flown(mut helicopter: Helicopter, controls: Controls, seconds: f64) -> HoverView {
        let mut time = 0.0;
        while time < seconds {
            helicopter.fly(controls, DT);
            time += DT;
        }
        helicopter.view()
    }

    #[test]
    fn with_sticks_at_centre_it_stands_in_calm_air() {
        let view = flown(calm(), [0.0; 4], 60.0);
        assert!(view.distance() < 1e-9 && (view.height - 50.0).abs() < 1e-9, "{view:?}");
    }

    /// A steady tilt at lift = weight / cos(tilt) accelerates by g tan(tilt): mechanics of a point.
    #[test]
    fn a_tilt_accelerates_by_g_times_its_tangent() {
        let tilt = 0.3;
        for (heading, ahead) in [(0.0, [0.0, 1.0]), (FRAC_PI_2, [-1.0, 0.0])] {
            let mut helicopter = calm();
            (helicopter.view.bank, helicopter.view.heading) = (tilt, heading);
            helicopter.lift = 1.0 / libm::cos(tilt);
            helicopter.push(1e-6);
            let [north, east] = ahead.map(|part| part * GRAVITY * libm::tan(tilt) * 1e-6);
            let view = helicopter.view();
            assert!((view.to_north - north).abs() < 1e-12 && (view.to_east - east).abs() < 1e-12, "{view:?}");
            assert!(view.climb.abs() < 1e-12, "{view:?}");
        }
    }

    #[test]
    fn each_stick_moves_it_as_its_name_says() {
        let right = flown(calm(), [0.3, 0.0, 0.0, 0.0], 1.0);
        assert!(right.east > 0.2 && right.north.abs() < 1e-9 && right.bank > 0.2, "{right:?}");
        let back = flown(calm(), [0.0, 0.3, 0.0, 0.0], 1.0);
        assert!(back.north < -0.2 && back.east.abs() < 1e-9 && back.pitch > 0.2, "{back:?}");
        let up = flown(calm(), [0.0, 0.0, 0.3, 0.0], 2.0);
        assert!(up.height > 51.0 && up.distance() < 1e-9, "{up:?}");
        let turned = flown(calm(), [0.0, 0.0, 0.0, 0.3], 1.0);
        assert!(turned.heading > 0.5 && turned.distance() < 1e-9, "{turned:?}");
    }

    #[test]
    fn dropped_it_ends_on_the_ground_and_lifts_off_again() {
        let mut helicopter = calm();
        for _ in 0..500 {
            helicopter.fly([0.1, 0.1, -1.0, 0.0], DT);
        }
        assert!(helicopter.view().height.abs() < f64::EPSILON && helicopter.view().speed().abs() < f64::EPSILON);
        assert!(flown(helicopter, [0.0, 0.0, 0.4, 0.0], 3.0).height > 1.0);
    }
}
