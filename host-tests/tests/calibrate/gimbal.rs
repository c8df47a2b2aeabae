//! Simulated sticks at rest: normal noise of any colour, and drift. In points.

use std::f64::consts::TAU;

use handback::Pulse;
use handback::calibrate::{LearntAxis, RestMeter};
use handback_host_tests::{Random, normal};

/// Frames a second.
pub(crate) const RATE: u32 = 50;

/// How the noise of a stick is coloured.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Colour {
    White,
    /// First-order low-pass: the correlation falls by a factor of e in this time, in seconds.
    Forgets(f64),
    /// Two of these low-passes in series: smooth, like a stick that sways.
    Sways(f64),
    /// Equal parts of white noise and of low-pass noise with this time constant, in seconds.
    Both(f64),
}

/// A stick that nobody touches.
pub(crate) struct Gimbal {
    random: Random,
    pub(crate) colour: Colour,
    /// Points.
    pub(crate) rms: f64,
    /// Amplitude in points and period in seconds.
    pub(crate) drift: (f64, f64),
    state: [f64; 2],
    frame: f64,
}

impl Gimbal {
    pub(crate) fn new(seed: u64, colour: Colour, rms: f64, drift: (f64, f64)) -> Self {
        let mut gimbal = Self { random: Random::new(seed), colour, rms, drift, state: [0.0; 2], frame: 0.0 };
        for _ in 0..2000 {
            gimbal.noise(); // until the state is stationary
        }
        gimbal
    }

    /// Any stick: noise of 0.05 to 1.5 points rms, white to slow, with drift or without.
    pub(crate) fn any(seed: u64) -> Self {
        let mut random = Random::new(seed);
        let slowness = (random.between(0.02_f64.ln(), 0.5_f64.ln())).exp();
        let colour = match random.next() % 4 {
            0 => Colour::White,
            1 => Colour::Forgets(slowness),
            2 => Colour::Sways(slowness / 2.0),
            _ => Colour::Both(slowness),
        };
        let rms = random.between(0.05_f64.ln(), 1.5_f64.ln()).exp();
        let drift = match random.next() % 2 {
            0 => (0.0, 1.0),
            _ => (random.between(0.0, 0.5), random.between(60.0, 120.0)),
        };
        Self::new(seed ^ 0x5EED, colour, rms, drift)
    }

    fn noise(&mut self) -> f64 {
        let new = normal(&mut self.random);
        let low_pass = |state: &mut f64, seconds: f64, input: f64| {
            let keep = (-1.0 / (seconds * f64::from(RATE))).exp();
            *state = keep * *state + input * (1.0 - keep * keep).sqrt();
            *state
        };
        let [first, second] = &mut self.state;
        match self.colour {
            Colour::White => new,
            Colour::Forgets(seconds) => low_pass(first, seconds, new),
            Colour::Sways(seconds) => {
                let once = low_pass(first, seconds, new);
                let keep = (-1.0 / (seconds * f64::from(RATE))).exp();
                // The variance of an AR(2) process with a double root.
                low_pass(second, seconds, once) / ((1.0 + keep * keep) / (1.0 - keep * keep)).sqrt()
            }
            Colour::Both(seconds) => {
                let slow = low_pass(first, seconds, new);
                (slow + normal(&mut self.random)) / 2.0_f64.sqrt()
            }
        }
    }

    /// The next reading, in points from centre.
    pub(crate) fn points(&mut self) -> f64 {
        self.frame += 1.0;
        let (size, period) = self.drift;
        self.rms * self.noise() + size * (TAU * self.frame / f64::from(RATE) / period).sin()
    }

    /// The next reading as a pulse.
    pub(crate) fn pulse(&mut self) -> Pulse {
        pulse(self.points())
    }

    /// Measures a rest of `frames` counted frames, of a stick with nominal ends.
    pub(crate) fn rest(&mut self, frames: u32) -> LearntAxis<handback::Micros> {
        let mut meter = RestMeter::new();
        for _ in 0..frames + 64 {
            meter.take(self.pulse().to_bits());
        }
        resting(&meter)
    }
}

/// The pulse of a deflection in points: 5 us each.
pub(crate) fn pulse(points: f64) -> Pulse {
    Pulse::from_bits(whole(24_000.0 + points * 80.0))
}

/// The nearest reading.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // it saturates
pub(crate) fn whole(x: f64) -> u16 {
    x.round() as u16
}

/// A sprung axis with nominal ends of which only the rest is known.
pub(crate) fn resting(meter: &RestMeter) -> LearntAxis<handback::Micros> {
    LearntAxis::at_rest(meter.noise().expect("two blocks"), true)
}
