//! Simulated noise of any colour, and the correlation of its frames.

use seeded::Random;

/// The colour of the noise of a stick.
#[derive(Debug)]
pub(super) enum Colour {
    /// Frames are independent.
    White,
    /// First-order low-pass: the correlation falls by a factor of e in this many frames.
    Forgets(f64),
    /// Two of these low-passes in series: smooth, like a stick that sways.
    Sways(f64),
    /// A low-pass at this share of the frame rate, by a Blackman window of 401 frames: nearly an ideal one.
    LowPass(f64),
}

/// Noise of deviation 1.
pub(super) struct Simulated {
    rng: Random,
    /// The weights of the last two outputs.
    keep: [f64; 2],
    /// The weights of the last random numbers, the newest first.
    taps: Vec<f64>,
    fresh: Vec<f64>,
    newest: usize,
    last: [f64; 2],
}

impl Simulated {
    pub(super) fn new(colour: &Colour, seed: u64) -> Self {
        let (keep, taps) = match *colour {
            Colour::White => ([0.0; 2], vec![1.0]),
            Colour::Forgets(frames) => {
                let keep = (-1.0 / frames).exp();
                ([keep, 0.0], vec![(1.0 - keep * keep).sqrt()])
            }
            Colour::Sways(frames) => {
                let (keep, square) = ((-1.0 / frames).exp(), (-2.0 / frames).exp());
                // The variance of an autoregression with a double root.
                ([2.0 * keep, -square], vec![((1.0 - square).powi(3) / (1.0 + square)).sqrt()])
            }
            Colour::LowPass(share) => ([0.0; 2], low_pass(share)),
        };
        let fresh = vec![0.0; taps.len()];
        let mut noise = Self { rng: Random::stream(seed, 0), keep, taps, fresh, newest: 0, last: [0.0; 2] };
        for _ in 0..5000 {
            noise.next(); // until it is stationary
        }
        noise
    }

    /// The next frame.
    pub(super) fn next(&mut self) -> f64 {
        let (from, taps) = (self.newest, self.taps.len());
        self.newest = (from + taps - 1) % taps;
        self.fresh[self.newest] = self.rng.normal();
        let (newer, older) = (&self.fresh[self.newest..], &self.fresh[..self.newest]);
        let made: f64 = newer.iter().chain(older).zip(&self.taps).map(|(fresh, tap)| fresh * tap).sum();
        let [one, two] = self.last;
        self.last = [made + self.keep[0] * one + self.keep[1] * two, one];
        self.last[0]
    }

    /// The correlation of frames one, two and three apart, computed from how they are made, not measured.
    pub(super) fn correlation(&self) -> [f64; 3] {
        let [one, two] = self.keep;
        if self.taps.len() > 1 {
            return [1, 2, 3].map(|apart| self.taps.iter().zip(&self.taps[apart..]).map(|(a, b)| a * b).sum());
        }
        // The Yule-Walker equations.
        let first = one / (1.0 - two);
        let second = one * first + two;
        [first, second, one * second + two * first]
    }
}

/// An untouched stick, in points.
pub(super) struct Stick {
    pub(super) name: String,
    noise: Simulated,
    deviation: f64,
    /// Amplitude in points.
    drift: f64,
    frame: f64,
}

impl Stick {
    /// A random stick: noise of 0.05 to 1.5 points, from white to slow; half of the sticks drift.
    pub(super) fn any(seed: u64) -> Self {
        let mut rng = Random::stream(seed, 7);
        let slowness = (rng.between(1_f64.ln(), 25_f64.ln())).exp();
        let colour = match seed % 4 {
            0 => Colour::White,
            1 => Colour::Forgets(slowness),
            2 => Colour::Sways(slowness / 2.0),
            _ => Colour::LowPass(0.5 / (1.0 + slowness / 4.0)),
        };
        let deviation = rng.between(0.05_f64.ln(), 1.5_f64.ln()).exp();
        let drift = if rng.chance(0.5) { rng.between(0.0, 0.5) } else { 0.0 };
        let name = format!("stick {seed}, {colour:?}, {deviation:.2} points, drift {drift:.2}");
        Self { name, noise: Simulated::new(&colour, seed), deviation, drift, frame: 0.0 }
    }

    /// The next frame.
    pub(super) fn next(&mut self) -> f64 {
        self.frame += 1.0;
        self.deviation * self.noise.next() + self.drift * (self.frame / 700.0).sin()
    }
}

/// A windowed sine over its argument, with a sum of squares of 1.
fn low_pass(share: f64) -> Vec<f64> {
    use std::f64::consts::TAU;
    let tap = |n: i32| {
        let phase = TAU * share * f64::from(n);
        let ideal = if n == 0 { 1.0 } else { phase.sin() / phase };
        let at = f64::from(n + 201) / 402.0;
        ideal * (0.42 - 0.5 * (TAU * at).cos() + 0.08 * (2.0 * TAU * at).cos())
    };
    let taps: Vec<f64> = (-200..=200).map(tap).collect();
    let size = taps.iter().map(|tap| tap * tap).sum::<f64>().sqrt();
    taps.iter().map(|tap| tap / size).collect()
}
