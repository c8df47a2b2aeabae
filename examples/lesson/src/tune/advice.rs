//! Recommends the smallest thresholds that hold the target with the noise of a rest.
//!
//! The requirements are those of the device (`handback::calibrate`):
//!
//! - The deviation of the noise is taken 1.5 standard errors above the measured one.
//! - Unexplained drift and the scatter of the spring both add to the offset, on the same side.
//! - The rest lies at the worst place between two quantisation steps. A change of two steps never takes the craft.
//! - A `confirm` is allowed only where the observed rows of that length are within the largest distance expected of
//!   normal noise in 16,384 rests.
//! - Where no rate is claimed (`doubt.rs`), the threshold is a margin: at least twice the largest distance of an
//!   observed row.
//!
//! The device takes the probability of noise from tables; this calculation integrates over neighbouring frames.

use std::fmt;

use handback::calibrate::Trouble;

use super::doubt::Doubt;
use super::rate::Noise;
use super::rest::AxisRest;
use crate::count::thousands;

/// The target rate of false takeovers, and the range of useful thresholds. A false takeover is one by noise, of an
/// untouched stick. Distances are in points.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Target {
    /// Hours of flying per false takeover, all watched axes together.
    pub(crate) hours_apart: f64,
    /// Number of watched axes.
    pub(crate) axes: usize,
    /// Time from one frame to the next, in seconds.
    pub(crate) frame_s: f64,
    /// The smallest `engage` that is recommended, however quiet the stick.
    pub(crate) least: f64,
    /// The `engage` to reach: the smallest `confirm` that reaches it is recommended.
    pub(crate) aim: f64,
    /// The largest `engage`: a larger one is refused.
    pub(crate) most: f64,
}

/// The thresholds of one axis, in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Advice {
    pub(crate) engage: f64,
    pub(crate) release: f64,
    pub(crate) confirm: u8,
}

/// The properties of the readings of an axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Reading {
    /// The quantisation step in points; `None` where it is not known.
    pub(crate) step: Option<f64>,
    /// Number of quantisation steps by which a reading may change without taking the craft.
    pub(crate) clear: u8,
    /// The largest unnoticed error of one disturbed frame, in points.
    pub(crate) jitter: f64,
}

/// Why no thresholds are recommended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Refused {
    /// The effective number of independent frames is below 256. `frames` were counted; `wanted` are estimated to
    /// suffice.
    TooShort { frames: usize, wanted: usize },
    /// The readings never changed, and their quantisation step is not known.
    NoStep,
    /// Rows or jumps of the recording rule out every `confirm` from 1 to 3.
    Moved,
    /// The smallest threshold that holds the target is larger than `most`.
    TooNoisy { engage: f64, most: f64, trouble: Trouble },
}

/// The least effective number of independent frames. The standard error of the deviation is then 4.4 %.
pub(crate) const ENOUGH: f64 = 256.0;

/// One unit of a deflection, in points.
pub(crate) const UNIT: f64 = 100.0 / 16384.0;

impl Target {
    /// The target of one axis, in false takeovers per frame.
    pub(crate) fn per_frame(&self) -> f64 {
        let axes = u32::try_from(self.axes.max(1)).unwrap_or(u32::MAX);
        self.frame_s / (self.hours_apart * 3600.0 * f64::from(axes))
    }
}

/// The smallest thresholds of an axis that hold the target and, where there is a doubt, the margin.
pub(crate) fn advise(rest: &AxisRest, stray: &Stray, doubt: Option<Doubt>, target: &Target) -> Result<Advice, Refused> {
    // A longer recording does not average a wander out, so a wandering axis counts all its frames.
    let wanders = matches!(doubt, Some(Doubt::Wanders { .. }));
    let worth = if wanders { as_f64(rest.frames) } else { rest.independent };
    if worth < ENOUGH {
        let wanted = (as_f64(rest.frames) * ENOUGH / rest.independent).ceil();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // it saturates
        return Err(Refused::TooShort { frames: rest.frames, wanted: wanted as usize });
    }
    if stray.reading.step.is_none() {
        return Err(Refused::NoStep);
    }
    let mut chosen: Option<(f64, u8)> = None;
    for confirm in 1..=3 {
        let Some(engage) = stray.needs(rest, doubt, target, confirm) else { continue };
        if chosen.is_none_or(|(least, _)| least > target.aim && engage < least) {
            chosen = Some((engage, confirm));
        }
    }
    let (engage, confirm) = chosen.ok_or(Refused::Moved)?;
    if engage > target.most {
        return Err(Refused::TooNoisy { engage, most: target.most, trouble: stray.trouble(rest, engage) });
    }
    let release = stray.release().max(engage / 2.0).min(engage - UNIT);
    Ok(Advice { engage, release, confirm })
}

/// A margin is this factor times the largest distance of an observed row.
const MARGIN: f64 = 2.0;

/// The distance of an untouched stick from its rest: noise, drift and scatter of the spring.
pub(crate) struct Stray {
    sprung: bool,
    /// The noise, with its deviation 1.5 standard errors above the measured one.
    noise: Noise,
    drift: f64,
    scatter: f64,
    reading: Reading,
}

impl Stray {
    /// Takes the measured rest. `scatter` is the largest distance from the centre at which the spring left the stick.
    pub(crate) fn of(rest: &AxisRest, sprung: bool, scatter: f64, reading: Reading) -> Self {
        // A standard error of a deviation is 1 / sqrt(2 n) of it.
        let doubt = 1.5 / (2.0 * rest.independent).sqrt();
        let noise = Noise { deviation: rest.deviation * (1.0 + doubt), correlation: rest.correlation };
        let drift = drift(rest);
        let (drift, scatter) = if sprung { (drift, scatter) } else { (2.0 * drift, 0.0) };
        Self { sprung, noise, drift, scatter, reading }
    }

    /// The largest lasting distance from the rest, in points.
    pub(crate) fn offset(&self) -> f64 {
        self.drift + self.scatter
    }

    /// The noise of the distance between a stick and its rest.
    ///
    /// The rest of an unsprung stick is one noisy reading (R2). The difference of two independent readings has twice
    /// the variance. Half of that variance comes from the rest and does not change while the rest stays.
    fn distance(&self) -> Noise {
        if self.sprung {
            return self.noise;
        }
        let Noise { deviation, correlation } = self.noise;
        Noise {
            deviation: deviation * std::f64::consts::SQRT_2,
            correlation: correlation.map(|c| f64::midpoint(1.0, c)),
        }
    }

    /// The same with another deviation.
    pub(crate) fn with_deviation(mut self, deviation: f64) -> Self {
        self.noise.deviation = deviation;
        self
    }

    /// False takeovers per frame at a threshold, of a stick at this offset from its rest.
    ///
    /// A reading beyond `engage` may come from a deflection that is half a step nearer. The rest of an unsprung stick
    /// is a reading too, so it adds another half step.
    pub(crate) fn per_frame(&self, engage: f64, offset: f64, confirm: u8) -> f64 {
        let step = self.reading.step.unwrap_or(0.0);
        let unseen = if self.sprung { step / 2.0 } else { step };
        self.distance().per_frame((engage - unseen).max(0.0), offset, confirm)
    }

    /// The distance from a stick at this offset to a threshold, in standard deviations of the noise.
    pub(super) fn deviations(&self, engage: f64, offset: f64) -> f64 {
        let step = self.reading.step.unwrap_or(0.0);
        let unseen = if self.sprung { step / 2.0 } else { step };
        (engage - unseen - offset) / self.distance().deviation.max(f64::MIN_POSITIVE)
    }

    /// The smallest threshold with at most this rate of false takeovers per frame.
    fn engage(&self, per_frame: f64, confirm: u8) -> f64 {
        let offset = self.offset();
        let step = self.reading.step.unwrap_or(0.0);
        let beyond_it = |at: f64| self.per_frame(offset + step + at, offset, confirm) <= per_frame;
        // One more unit covers the rounding to a deflection. The search begins one step lower: within a step, a reading
        // cannot be told from the rest.
        let furthest = 12.0 * self.distance().deviation;
        offset + step + smallest([-step, furthest], beyond_it) + UNIT
    }

    /// The `release` that a stick at rest needs, in points. A sprung stick is within it in 19 of 20 frames. An unsprung
    /// stick is within it in all frames of a stay (R2), which lasts seconds.
    pub(crate) fn release(&self) -> f64 {
        self.noise.deviation * if self.sprung { 2.0 } else { 4.5 } + self.offset()
    }

    /// The smallest threshold that holds the target with this `confirm` and, where there is a doubt, the margin. `None`
    /// where the recording has rows of that length that noise does not explain, or jumps that would make rows of that
    /// length more often than the target allows.
    pub(crate) fn needs(&self, rest: &AxisRest, doubt: Option<Doubt>, target: &Target, confirm: u8) -> Option<f64> {
        let row = rest.rows[usize::from(confirm) - 1];
        let Reading { step, clear, jitter } = self.reading;
        let steps = f64::from(clear) * step.unwrap_or(0.0) + UNIT;
        // The error of one disturbed frame adds to the largest observed distance.
        let disturbed = if confirm == 1 && jitter > 0.0 { jitter + row } else { 0.0 };
        let least = target.least.max(steps).max(disturbed);
        let engage = self.engage(target.per_frame(), confirm).max(least);
        let engage = if doubt.is_some() { engage.max(MARGIN * row) } else { engage };
        // A row within half the least threshold is no jump, however still the stick is otherwise.
        let jumps = |confirm: u8| {
            let row = rest.rows[usize::from(confirm) - 1];
            row > target.least / 2.0 && row > self.explained(rest, confirm)
        };
        if jumps(confirm) {
            return None;
        }
        if confirm > 1 && jumps(1) {
            // If jumps were independent, the probability of a row of k would be that of one jump to the power of k. One
            // frame is left out of the count: a single jump gives no rate.
            let beyond = rest.distances.iter().filter(|&&distance| distance > engage).count().saturating_sub(1);
            if (as_f64(beyond) / as_f64(rest.frames)).powi(confirm.into()) > target.per_frame() {
                return None;
            }
        }
        Some(engage)
    }

    /// The largest distance, in points, at which normal noise and drift explain rows of `confirm` frames.
    pub(super) fn explained(&self, rest: &AxisRest, confirm: u8) -> f64 {
        let never = 1.0 / 16384.0 / as_f64(rest.frames);
        let furthest = 12.0 * self.noise.deviation;
        let normal = smallest([0.0, furthest], |at| self.noise.per_frame(at, 0.0, confirm) <= never);
        // The rest itself may be off by the drift and by one step.
        normal + 2.0 * rest.drift + self.reading.step.unwrap_or(0.0)
    }

    /// The largest contribution to a threshold that is too large.
    fn trouble(&self, rest: &AxisRest, engage: f64) -> Trouble {
        let strays = engage - self.offset();
        if self.scatter > strays && self.scatter > self.drift {
            Trouble::Spring
        } else if self.drift > strays {
            Trouble::Drift
        } else if rest.correlation[0].abs() > 0.5 {
            Trouble::SlowNoise
        } else {
            Trouble::Noise
        }
    }
}

/// The drift that noise does not explain. The mean of 512 frames is noisy too, and more so for slower noise. The
/// largest of a few dozen of these means is within three of their standard deviations.
fn drift(rest: &AxisRest) -> f64 {
    let explained = 9.0 * rest.deviation.powi(2) * as_f64(rest.frames) / 512.0 / rest.independent;
    (rest.drift.powi(2) - explained).max(0.0).sqrt()
}

/// The smallest distance at which a condition holds, to 2^-14 of the range. The condition must hold at every larger
/// distance too.
fn smallest([mut fails, mut holding]: [f64; 2], holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..14 {
        let middle = f64::midpoint(fails, holding);
        if holds(middle) { holding = middle } else { fails = middle }
    }
    holding
}

fn as_f64(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::TooShort { frames, wanted } => {
                let [frames, wanted] = [frames, wanted].map(|frames| thousands(frames as u64));
                write!(f, "{frames} frames of rest say too little of its noise: keep hands off for {wanted} frames")
            }
            Self::NoStep => write!(
                f,
                "its readings never changed, so their quantisation step is not known: record sweeps too (--sweep), or \
                 give the step (--step)"
            ),
            Self::Moved => write!(
                f,
                "it moved while hands were off, or its readings jump: record it again; if that does not help, check \
                 plug and potentiometer"
            ),
            Self::TooNoisy { engage, most, trouble } => write!(
                f,
                "engage would be {engage:.2} points, and more than {most:.2} points is too much: {}",
                trouble.help()
            ),
        }
    }
}
