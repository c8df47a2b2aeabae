//! From the noise of a rest to thresholds: the smallest that hold what is wanted, by the host's own calculation.
//!
//! What is asked of a threshold is what the device asks (`handback::calibrate`):
//!
//! - The noise is taken one and a half standard errors larger than it was measured.
//! - Drift that noise does not explain and what the spring leaves are on one side.
//! - The rest lies at the least lucky place between two steps of the readings, and two steps never take the craft.
//! - A `confirm` counts only where the rows that were seen are not further out than such noise would be in 16,384 rests.
//! - Where no rate can be claimed (`doubt.rs`), a threshold is twice as far as such rows were seen: a margin.
//!
//! How rare noise is comes from integrals over neighbouring frames instead of tables.

use std::fmt;

use handback::calibrate::Trouble;

use super::doubt::Doubt;
use super::rate::Noise;
use super::rest::AxisRest;
use crate::count::thousands;

/// How seldom noise may take the craft, and which thresholds are worth having; distances in points.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Target {
    /// Hours of flying per takeover that nobody made, of all watched axes together.
    pub(crate) hours_apart: f64,
    /// How many axes are watched.
    pub(crate) axes: usize,
    /// From one frame to the next, in seconds.
    pub(crate) frame_s: f64,
    /// No less, however quiet the stick.
    pub(crate) least: f64,
    /// Small enough: the fewest frames of `confirm` that reach it are recommended.
    pub(crate) aim: f64,
    /// More is no takeover threshold any more.
    pub(crate) most: f64,
}

/// The thresholds of one axis, in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Advice {
    pub(crate) engage: f64,
    pub(crate) release: f64,
    pub(crate) confirm: u8,
}

/// How an axis is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Reading {
    /// The quantisation step in points; `None` where nobody knows it.
    pub(crate) step: Option<f64>,
    /// Steps that never take the craft.
    pub(crate) clear: u8,
    /// How far one disturbed frame may be off without being noticed, in points.
    pub(crate) jitter: f64,
}

/// Why there are none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Refused {
    /// So many frames are worth fewer than 256 that know nothing of each other; so many would do.
    TooShort { frames: usize, wanted: usize },
    /// The readings never changed, and nobody knows their step.
    NoStep,
    /// Three frames in a row were further out than any noise explains.
    Moved,
    /// The smallest threshold is larger than is sensible.
    TooNoisy { engage: f64, most: f64, trouble: Trouble },
}

/// Noise is known well enough from so many frames that know nothing of each other: its deviation to 4.4 %.
pub(crate) const ENOUGH: f64 = 256.0;

/// One unit of a deflection, in points.
pub(crate) const UNIT: f64 = 100.0 / 16384.0;

impl Target {
    /// Takeovers a frame that one axis may have.
    pub(crate) fn per_frame(&self) -> f64 {
        let axes = u32::try_from(self.axes.max(1)).unwrap_or(u32::MAX);
        self.frame_s / (self.hours_apart * 3600.0 * f64::from(axes))
    }
}

/// The smallest thresholds of an axis that hold the target, or keep the margin.
pub(crate) fn advise(rest: &AxisRest, stray: &Stray, doubt: Option<Doubt>, target: &Target) -> Result<Advice, Refused> {
    // A wander does not average out in a somewhat longer recording.
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

/// A margin is so many times as far as was seen.
const MARGIN: f64 = 2.0;

/// What a stick at rest strays by.
pub(crate) struct Stray {
    sprung: bool,
    /// The distance from the rest that noise makes, its deviation as large as it may be.
    noise: Noise,
    drift: f64,
    scatter: f64,
    reading: Reading,
}

impl Stray {
    /// `scatter` is the furthest from its centre that the spring left it.
    pub(crate) fn of(rest: &AxisRest, sprung: bool, scatter: f64, reading: Reading) -> Self {
        // A standard error of a deviation is 1 / sqrt(2 n) of it.
        let doubt = 1.5 / (2.0 * rest.independent).sqrt();
        let noise = Noise { deviation: rest.deviation * (1.0 + doubt), correlation: rest.correlation };
        let drift = drift(rest);
        let (drift, scatter) = if sprung { (drift, scatter) } else { (2.0 * drift, 0.0) };
        Self { sprung, noise, drift, scatter, reading }
    }

    /// How far off its rest it may be for as long as it likes.
    pub(crate) fn offset(&self) -> f64 {
        self.drift + self.scatter
    }

    /// The noise of the distance between a stick and its rest.
    ///
    /// A stick without a spring rests at one noisy reading (R2). Of two independent readings the distance has twice the
    /// variance, and as long as the rest stays, half of it stays.
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

    /// Takeovers a frame at a threshold, of a stick that is this far off its rest.
    ///
    /// A reading beyond `engage` may come from a deflection that is half a step nearer, and the rest of a stick without a
    /// spring is such a reading, too.
    pub(crate) fn per_frame(&self, engage: f64, offset: f64, confirm: u8) -> f64 {
        let step = self.reading.step.unwrap_or(0.0);
        let unseen = if self.sprung { step / 2.0 } else { step };
        self.distance().per_frame((engage - unseen).max(0.0), offset, confirm)
    }

    /// How many deviations of the noise a threshold is from a stick that is this far off its rest.
    pub(super) fn deviations(&self, engage: f64, offset: f64) -> f64 {
        let step = self.reading.step.unwrap_or(0.0);
        let unseen = if self.sprung { step / 2.0 } else { step };
        (engage - unseen - offset) / self.distance().deviation.max(f64::MIN_POSITIVE)
    }

    /// The smallest threshold that noise passes no more often than that, in a frame.
    fn engage(&self, per_frame: f64, confirm: u8) -> f64 {
        let offset = self.offset();
        let step = self.reading.step.unwrap_or(0.0);
        let beyond_it = |at: f64| self.per_frame(offset + step + at, offset, confirm) <= per_frame;
        // And a unit, for rounding to one. Less than a step below, no reading is told from the rest.
        let furthest = 12.0 * self.distance().deviation;
        offset + step + smallest([-step, furthest], beyond_it) + UNIT
    }

    /// Within this, a stick at rest is seen at rest: nineteen of twenty frames of one with a spring, and all frames of a
    /// stay (R2), for the seconds that one lasts, of one without.
    pub(crate) fn release(&self) -> f64 {
        self.noise.deviation * if self.sprung { 2.0 } else { 4.5 } + self.offset()
    }

    /// The smallest threshold that holds the target with so many frames of `confirm`, or keeps the margin; `None` where the
    /// recording shows rows that no such noise explains, or jumps that would make such rows more often than is wanted.
    pub(crate) fn needs(&self, rest: &AxisRest, doubt: Option<Doubt>, target: &Target, confirm: u8) -> Option<f64> {
        let row = rest.rows[usize::from(confirm) - 1];
        let Reading { step, clear, jitter } = self.reading;
        let steps = f64::from(clear) * step.unwrap_or(0.0) + UNIT;
        // One disturbed frame, on top of the noise that was seen.
        let disturbed = if confirm == 1 && jitter > 0.0 { jitter + row } else { 0.0 };
        let least = target.least.max(steps).max(disturbed);
        let engage = self.engage(target.per_frame(), confirm).max(least);
        let engage = if doubt.is_some() { engage.max(MARGIN * row) } else { engage };
        // A row well within the least threshold worth having is no jump, however still the stick is besides.
        let jumps = |confirm: u8| {
            let row = rest.rows[usize::from(confirm) - 1];
            row > target.least / 2.0 && row > self.explained(rest, confirm)
        };
        if jumps(confirm) {
            return None;
        }
        if confirm > 1 && jumps(1) {
            // By chance a row of k is as rare as one jump to the power of k. The one for which there are jumps at all is
            // no rate.
            let beyond = rest.distances.iter().filter(|&&distance| distance > engage).count().saturating_sub(1);
            if (as_f64(beyond) / as_f64(rest.frames)).powi(confirm.into()) > target.per_frame() {
                return None;
            }
        }
        Some(engage)
    }

    /// As far as rows of so many frames are explained by normal noise and drift.
    pub(super) fn explained(&self, rest: &AxisRest, confirm: u8) -> f64 {
        let never = 1.0 / 16384.0 / as_f64(rest.frames);
        let furthest = 12.0 * self.noise.deviation;
        let normal = smallest([0.0, furthest], |at| self.noise.per_frame(at, 0.0, confirm) <= never);
        // The rest itself may be off by as much as the drift, and by a step.
        normal + 2.0 * rest.drift + self.reading.step.unwrap_or(0.0)
    }

    /// The largest part of a threshold that is too large.
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

/// The drift that noise does not explain. The mean of 512 frames has noise, too, the more the slower it is; the furthest
/// of some dozens is within three of its deviations.
fn drift(rest: &AxisRest) -> f64 {
    let explained = 9.0 * rest.deviation.powi(2) * as_f64(rest.frames) / 512.0 / rest.independent;
    (rest.drift.powi(2) - explained).max(0.0).sqrt()
}

/// The smallest distance from which on something holds, to 2^-14 of the way. Noise is seldomer the further.
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
                "its readings never changed, so nobody knows the step in which they change: record sweeps too (--sweep), \
                 or say it (--step)"
            ),
            Self::Moved => write!(
                f,
                "it moved while hands were off, or its readings jump: measure anew; if that stays, see to plug and \
                 potentiometer"
            ),
            Self::TooNoisy { engage, most, trouble } => write!(
                f,
                "engage would be {engage:.2} points, and more than {most:.2} points is too much: {}",
                trouble.help()
            ),
        }
    }
}
