//! Noise of sticks at rest with known statistics, and the rate at which each noise takes the craft.
//!
//! Every [`Kind`] generates readings in points, 50 per second. [`Kind::per_frame`] is its true rate: takeovers per
//! frame (T1) with given thresholds. Normal noise is integrated over consecutive frames by quadrature; white Laplace
//! noise and jumps have closed formulas. Nothing here uses the calculation of the product.

use std::f64::consts::SQRT_2;

use crate::{Random, normal};

/// The time between two frames, in seconds.
pub const FRAME_S: f64 = 0.02;

/// A kind of noise.
#[derive(Clone, Copy, Debug)]
pub struct Kind {
    /// Its name in tables.
    pub name: &'static str,
    /// The stochastic process of its frames.
    pub law: Law,
    /// The standard deviation in points, before quantisation.
    pub rms: f64,
    /// The quantisation step in points; 0: not quantised.
    pub step: f64,
}

/// The stochastic process of the frames of a noise.
#[derive(Clone, Copy, Debug)]
pub enum Law {
    /// The sum of first-order normal processes, each with its share of the variance and its correlation time in seconds
    /// (0: white).
    Normal(&'static [(f64, f64)]),
    /// Independent frames with a Laplace distribution.
    Laplace,
    /// White normal noise with bursts of jumps in both directions.
    Jumps,
    /// White normal noise whose standard deviation is 1.3 times as large for 10 s of every minute.
    Modulated,
    /// White normal noise, of which one frame in a thousand, on average, has three times the standard deviation.
    Outliers,
    /// Every frame is the same.
    Still,
}

/// Correlation times one octave apart, with equal shares of the variance: 1/f noise between 0.0003 Hz and 8 Hz.
const ONE_OVER_F: [(f64, f64); 15] = {
    let (mut parts, mut n, mut seconds) = ([(1.0 / 15.0, 0.0); 15], 0, 0.02);
    while n < 15 {
        parts[n].1 = seconds;
        seconds *= 2.0;
        n += 1;
    }
    parts
};

/// The size of a jump, in points.
const JUMP: f64 = 3.0;
/// The probability that a burst begins in a frame: one burst in 20 s on average.
const BURSTS: f64 = FRAME_S / 20.0;
/// The mean number of jumps in a burst (geometric distribution).
const JUMPS_A_BURST: f64 = 4.0;
/// The probability that a jump begins in a frame of a burst.
const JUMP_IN_BURST: f64 = 0.1;
/// The probability that a jump lasts one more frame.
const LASTS: f64 = 0.15;

/// The factor of the standard deviation in the louder stretches. It is too small for most recordings to show that the
/// noise is not normal.
const LOUDER: f64 = 1.3;
/// The number of frames in a minute, and in its louder stretch.
const MINUTE: u32 = 3000;
const STRETCH: u32 = 500;

/// The probability that a frame is an outlier, and the factor of its standard deviation.
const OUTLIER: f64 = 0.001;
const WIDER: f64 = 3.0;

const fn kind(name: &'static str, law: Law, rms: f64, step: f64) -> Kind {
    Kind { name, law, rms, step }
}

const WHITE: Law = Law::Normal(&[(1.0, 0.0)]);

impl Kind {
    /// All kinds but [`NEARLY_NORMAL`](Self::NEARLY_NORMAL) and [`RARE_OUTLIERS`](Self::RARE_OUTLIERS).
    pub const ALL: [Self; 15] = [
        kind("white", WHITE, 0.35, 0.0),
        kind("forgets in 0.05 s", Law::Normal(&[(1.0, 0.05)]), 0.35, 0.0),
        kind("forgets in 0.4 s", Law::Normal(&[(1.0, 0.4)]), 0.35, 0.0),
        kind("forgets in 4 s", Law::Normal(&[(1.0, 4.0)]), 0.35, 0.0),
        kind("half white, half 4 s", Law::Normal(&[(0.5, 0.0), (0.5, 4.0)]), 0.4, 0.0),
        kind("1/f", Law::Normal(&ONE_OVER_F), 0.35, 0.0),
        kind("wander of a minute", Law::Normal(&[(0.5, 0.0), (0.5, 60.0)]), 0.35, 0.0),
        kind("slight wander", Law::Normal(&[(0.9, 0.0), (0.1, 60.0)]), 0.35, 0.0),
        kind("steps of 0.2", WHITE, 0.35, 0.2),
        kind("steps of 0.5", WHITE, 0.35, 0.5),
        kind("steps of 1", WHITE, 0.35, 1.0),
        kind("steps of 2", WHITE, 0.35, 2.0),
        kind("Laplace", Law::Laplace, 0.35, 0.0),
        kind("clustered jumps", Law::Jumps, 0.2, 0.0),
        kind("never changes", Law::Still, 0.0, 2.0),
    ];

    /// Noise so close to normal that a recording of minutes seldom shows the difference. No rate that is calculated
    /// from the standard deviation alone holds for it.
    pub const NEARLY_NORMAL: Self = kind("nearly normal", Law::Modulated, 0.25, 0.0);

    /// Noise with tails that a recording of minutes often does not show: at a usual threshold less than one frame in a
    /// recording is beyond it, and yet several in an hour. No rate that is extrapolated from such a recording holds.
    pub const RARE_OUTLIERS: Self = kind("rare outliers", Law::Outliers, 0.35, 0.0);

    /// Takeovers per frame of a stick whose rest in the policy is at `rest` points. `phase` is any one of the possible
    /// readings of a quantised stick.
    pub fn per_frame(&self, rest: f64, phase: f64, engage: f64, confirm: u8) -> f64 {
        let [low, high] = self.beyond(rest, phase, engage);
        match self.law {
            Law::Normal(parts) => {
                let alike =
                    [1.0, 2.0, 3.0].map(|apart: f64| parts.iter().map(|part| part.0 * kept(*part, apart)).sum());
                normal_rows([low / self.rms, high / self.rms], alike, confirm)
            }
            Law::Laplace => independent_rows(laplace_tail(-low / self.rms) + laplace_tail(high / self.rms), confirm),
            Law::Jumps => {
                let noise = independent_rows(tail(-low / self.rms) + tail(high / self.rms), confirm);
                let up = tail((high - JUMP) / self.rms).powi(confirm.into());
                let down = tail((-low - JUMP) / self.rms).powi(confirm.into());
                noise + BURSTS * JUMPS_A_BURST * LASTS.powi(i32::from(confirm) - 1) * f64::midpoint(up, down)
            }
            Law::Modulated => {
                let rate = |rms: f64| independent_rows(tail(-low / rms) + tail(high / rms), confirm);
                let louder = f64::from(STRETCH) / f64::from(MINUTE);
                louder * rate(self.rms * LOUDER) + (1.0 - louder) * rate(self.rms)
            }
            Law::Outliers => {
                let both = |rms: f64| tail(-low / rms) + tail(high / rms);
                let beyond = OUTLIER * both(self.rms * WIDER) + (1.0 - OUTLIER) * both(self.rms);
                independent_rows(beyond, confirm)
            }
            Law::Still => 0.0,
        }
    }

    /// The deflections before quantisation below and above which a reading is beyond `engage`.
    fn beyond(&self, rest: f64, phase: f64, engage: f64) -> [f64; 2] {
        if self.step <= 0.0 {
            return [rest - engage, rest + engage];
        }
        let steps = |at: f64| (at - phase) / self.step;
        let first_above = (steps(rest + engage) + 1e-9).floor() + 1.0;
        let first_below = (steps(rest - engage) - 1e-9).ceil() - 1.0;
        [phase + (first_below + 0.5) * self.step, phase + (first_above - 0.5) * self.step]
    }
}

/// A stick at rest with noise of one kind.
#[derive(Debug)]
pub struct Stick {
    kind: Kind,
    /// One of the possible readings of a quantised stick, in points.
    pub phase: f64,
    random: Random,
    /// The state of each first-order process.
    parts: Vec<f64>,
    /// The number of jumps left in this burst.
    burst: u32,
    /// The present jump in points; 0 between two jumps.
    jump: f64,
    /// The number of the frame within the minute.
    frame: u32,
}

impl Stick {
    /// The stick of this seed; its true rest is 0 points.
    pub fn new(kind: Kind, seed: u64) -> Self {
        let mut random = Random::new(seed);
        let phase = kind.step * random.between(-0.5, 0.5);
        let count = if let Law::Normal(parts) = kind.law { parts.len() } else { 0 };
        // Every process begins in its stationary distribution.
        let parts = (0..count).map(|_| normal(&mut random)).collect();
        let frame = u32::try_from(seed % u64::from(MINUTE)).unwrap_or(0);
        Self { kind, phase, random, parts, burst: 0, jump: 0.0, frame }
    }

    /// The next reading, in points.
    #[allow(clippy::should_implement_trait)] // no iterator: it never ends
    pub fn next(&mut self) -> f64 {
        let at = self.kind.rms * self.noise();
        let step = self.kind.step;
        if step > 0.0 { self.phase + ((at - self.phase) / step).round() * step } else { at }
    }

    fn noise(&mut self) -> f64 {
        let random = &mut self.random;
        match self.kind.law {
            Law::Normal(parts) => {
                let states = self.parts.iter_mut().zip(parts);
                states
                    .map(|(state, part)| {
                        let keep = kept(*part, 1.0);
                        *state = keep * *state + (1.0 - keep * keep).sqrt() * normal(random);
                        part.0.sqrt() * *state
                    })
                    .sum()
            }
            Law::Laplace => {
                let sign = if random.chance(0.5) { 1.0 } else { -1.0 };
                -sign * (1.0 - random.unit()).ln() / SQRT_2
            }
            Law::Jumps => {
                if random.chance(BURSTS) {
                    self.burst += 1;
                    while random.chance(1.0 - 1.0 / JUMPS_A_BURST) {
                        self.burst += 1;
                    }
                }
                if self.jump != 0.0 {
                    // At least one quiet frame between two jumps.
                    if !random.chance(LASTS) {
                        self.jump = 0.0;
                    }
                } else if self.burst > 0 && random.chance(JUMP_IN_BURST) {
                    self.burst -= 1;
                    self.jump = if random.chance(0.5) { JUMP } else { -JUMP };
                }
                normal(random) + self.jump / self.kind.rms
            }
            Law::Modulated => {
                self.frame = (self.frame + 1) % MINUTE;
                normal(random) * if self.frame < STRETCH { LOUDER } else { 1.0 }
            }
            Law::Outliers => normal(random) * if random.chance(OUTLIER) { WIDER } else { 1.0 },
            Law::Still => 0.0,
        }
    }
}

/// The autocorrelation of a first-order process at a lag of `frames`.
fn kept((_, seconds): (f64, f64), frames: f64) -> f64 {
    if seconds > 0.0 { (-frames * FRAME_S / seconds).exp() } else { 0.0 }
}

/// The probability that a normal variable of variance 1 exceeds `x`.
fn tail(x: f64) -> f64 {
    0.5 * libm::erfc(x / SQRT_2)
}

/// The probability that a Laplace variable of variance 1 exceeds `x`.
fn laplace_tail(x: f64) -> f64 {
    let beyond = 0.5 * (-SQRT_2 * x.abs()).exp();
    if x >= 0.0 { beyond } else { 1.0 - beyond }
}

/// The probability per frame that `confirm` frames beyond the threshold are followed by a frame within it, for
/// independent frames that are beyond it with probability `beyond`.
fn independent_rows(beyond: f64, confirm: u8) -> f64 {
    beyond.powi(confirm.into()) * (1.0 - beyond)
}

/// The number of quadrature points in each tail, for each frame.
const PLACES: u32 = 40;
/// The distance past the threshold over which a tail is integrated, in standard deviations.
const FOLLOWED: f64 = 4.0;

/// The same probability for normal noise whose autocorrelation at lags of 1 to 3 frames is `alike`. Each frame is
/// integrated over both tails, given the frames before.
fn normal_rows(limits: [f64; 2], alike: [f64; 3], confirm: u8) -> f64 {
    let [low, high] = limits;
    if low >= high {
        return 0.0;
    }
    let rows = Rows { limits, factor: cholesky(alike) };
    rows.from(0, confirm.into(), &mut [0.0; 4])
}

struct Rows {
    limits: [f64; 2],
    factor: [[f64; 4]; 4],
}

impl Rows {
    /// The probability that frames `frame` to `confirm - 1` are beyond and the next one is not, given those before.
    fn from(&self, frame: usize, confirm: usize, new: &mut [f64; 4]) -> f64 {
        let [low, high] = self.limits;
        let row = &self.factor[frame];
        let expected: f64 = (0..frame).map(|n| row[n] * new[n]).sum();
        if frame == confirm {
            return (1.0 - tail((high - expected) / row[frame]) - tail((expected - low) / row[frame])).max(0.0);
        }
        let mut sum = 0.0;
        for (limit, sign) in [(high, 1.0), (low, -1.0)] {
            let width = FOLLOWED / f64::from(PLACES);
            for place in 0..PLACES {
                // Midpoints, closer together near the threshold, where nearly all of the tail is.
                let share = (f64::from(place) + 0.5) / f64::from(PLACES);
                let past = FOLLOWED * share * share;
                let weight = width * 2.0 * share;
                let at = (limit + sign * past - expected) / row[frame];
                let density = (-0.5 * at * at).exp() / (std::f64::consts::TAU).sqrt() / row[frame] * weight;
                if density < 1e-30 {
                    continue;
                }
                new[frame] = at;
                sum += density * self.from(frame + 1, confirm, new);
            }
        }
        sum
    }
}

/// The Cholesky factor of the correlation matrix of four consecutive frames: each frame as a weighted sum of
/// independent normal variables.
fn cholesky(alike: [f64; 3]) -> [[f64; 4]; 4] {
    let apart = [1.0, alike[0], alike[1], alike[2]];
    let mut factor = [[0.0_f64; 4]; 4];
    for row in 0..4 {
        for column in 0..=row {
            let known: f64 = (0..column).map(|n| factor[row][n] * factor[column][n]).sum();
            let left = apart[row - column] - known;
            factor[row][column] = if row > column { left / factor[column][column] } else { left.max(1e-12).sqrt() };
        }
    }
    factor
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given kinds of every law but `Still`, when takeovers are counted over 4 million frames at thresholds that are
    /// passed often, then the count is what the true rate says: to 5 %, five standard deviations or 2, the largest of
    /// these.
    #[test]
    fn true_rates_are_what_a_long_simulation_counts() {
        for (name, rest, engage) in [
            ("white", 0.02, 0.8),
            ("forgets in 0.05 s", 0.0, 0.8),
            ("half white, half 4 s", 0.05, 0.9),
            ("steps of 0.5", 0.1, 0.9),
            ("steps of 1", -0.1, 1.2),
            ("Laplace", 0.0, 1.4),
            ("clustered jumps", 0.0, 1.5),
            ("nearly normal", 0.05, 0.8),
            ("rare outliers", 0.02, 1.2),
        ] {
            let kinds = Kind::ALL.into_iter().chain([Kind::NEARLY_NORMAL, Kind::RARE_OUTLIERS]);
            let kind = kinds.into_iter().find(|kind| kind.name == name).expect("a kind");
            for confirm in 1..=3 {
                let frames = 4_000_000;
                let (phase, counted) = count(kind, rest, engage, confirm, frames);
                let expected = kind.per_frame(rest, phase, engage, confirm) * f64::from(frames);
                let allowed = (0.05 * expected).max(5.0 * expected.sqrt()).max(2.0);
                assert!((counted - expected).abs() <= allowed, "{name}, {confirm}: {counted} for {expected}");
            }
        }
    }

    fn count(kind: Kind, rest: f64, engage: f64, confirm: u8, frames: u32) -> (f64, f64) {
        let mut stick = Stick::new(kind, 5);
        let (mut row, mut count) = (0, 0_u32);
        for _ in 0..frames {
            let beyond = (stick.next() - rest).abs() > engage;
            row = if beyond { row + 1 } else { 0 };
            count += u32::from(row == u32::from(confirm));
        }
        (stick.phase, f64::from(count))
    }
}
