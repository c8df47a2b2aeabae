//! From the noise of a rest to thresholds: the smallest that hold what is wished for, by the host's own calculation.
//!
//! What is asked of a threshold is what the device asks (`handback::calibrate`): the noise is taken one and a half
//! standard errors larger than it was measured, drift that noise does not explain and what the spring leaves are on one
//! side, and a `confirm` counts only where the rows that were seen are not further out than such noise would be in 16,384
//! rests. How rare noise is there comes from integrals over neighbouring frames instead of tables.

use std::fmt;

use handback::calibrate::Trouble;

use super::rate::Noise;
use super::rest::AxisRest;
use crate::report::thousands;

/// How seldom noise may take the craft, and which thresholds are worth having; distances in points.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wish {
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

/// Why there are none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Refused {
    /// So many frames are worth fewer than 256 that know nothing of each other; so many would do.
    TooShort { frames: usize, wanted: usize },
    /// Three frames in a row were further out than any noise explains.
    Moved,
    /// The smallest threshold is larger than is sensible.
    TooNoisy { engage: f64, most: f64, trouble: Trouble },
}

/// Noise is known well enough from so many frames that know nothing of each other: its deviation to 4.4 %.
pub(crate) const ENOUGH: f64 = 256.0;

/// One unit of a deflection, in points.
pub(crate) const UNIT: f64 = 100.0 / 16384.0;

impl Wish {
    /// Takeovers a frame that one axis may have.
    pub(crate) fn per_frame(&self) -> f64 {
        let axes = u32::try_from(self.axes.max(1)).unwrap_or(u32::MAX);
        self.frame_s / (self.hours_apart * 3600.0 * f64::from(axes))
    }
}

/// The smallest thresholds of an axis that hold the wish. `scatter` is the furthest from its centre that its spring left
/// it.
pub(crate) fn advise(rest: &AxisRest, sprung: bool, scatter: f64, wish: &Wish) -> Result<Advice, Refused> {
    if rest.independent < ENOUGH {
        let frames = u32::try_from(rest.frames).unwrap_or(u32::MAX);
        let wanted = (f64::from(frames) * ENOUGH / rest.independent).ceil();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // it saturates
        return Err(Refused::TooShort { frames: rest.frames, wanted: wanted as usize });
    }
    let stray = Stray::of(rest, sprung, scatter);
    let mut chosen: Option<(f64, u8)> = None;
    for confirm in 1..=3 {
        let Some(engage) = stray.needs(rest, wish, confirm) else { continue };
        if chosen.is_none_or(|(least, _)| least > wish.aim && engage < least) {
            chosen = Some((engage, confirm));
        }
    }
    let (smallest, confirm) = chosen.ok_or(Refused::Moved)?;
    if smallest > wish.most {
        let trouble = stray.trouble(rest, smallest);
        return Err(Refused::TooNoisy { engage: smallest, most: wish.most, trouble });
    }
    let engage = smallest.max(wish.least);
    let release = stray.release().max(engage / 2.0).min(engage - UNIT);
    Ok(Advice { engage, release, confirm })
}

/// What a stick at rest strays by.
pub(crate) struct Stray {
    sprung: bool,
    /// The distance from the rest that noise makes, its deviation as large as it may be.
    noise: Noise,
    drift: f64,
    scatter: f64,
}

impl Stray {
    pub(crate) fn of(rest: &AxisRest, sprung: bool, scatter: f64) -> Self {
        // A standard error of a deviation is 1 / sqrt(2 n) of it.
        let doubt = 1.5 / (2.0 * rest.independent).sqrt();
        let noise = Noise { deviation: rest.deviation * (1.0 + doubt), correlation: rest.correlation };
        let drift = drift(rest);
        let (drift, scatter) = if sprung { (drift, scatter) } else { (2.0 * drift, 0.0) };
        Self { sprung, noise, drift, scatter }
    }

    /// How far off its rest it may be for as long as it likes.
    pub(crate) fn offset(&self) -> f64 {
        self.drift + self.scatter
    }

    /// The noise of the distance between a stick and its rest.
    ///
    /// A stick without a spring rests at one noisy reading (R2). Of two readings that know nothing of each other the
    /// distance has twice the variance, and as long as the rest stays, half of it stays.
    pub(crate) fn distance(&self) -> Noise {
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

    /// The smallest threshold that noise passes no more often than that, in a frame.
    fn engage(&self, per_frame: f64, confirm: u8) -> f64 {
        let (noise, offset) = (self.distance(), self.offset());
        let beyond_it = |at: f64| noise.per_frame(offset + at, offset, confirm) <= per_frame;
        // And a unit, for rounding to one.
        offset + smallest(noise.deviation, beyond_it) + UNIT
    }

    /// Within this, a stick at rest is seen at rest: nineteen of twenty frames of one with a spring, and all frames of a
    /// stay (R2), for the seconds that one lasts, of one without.
    pub(crate) fn release(&self) -> f64 {
        self.noise.deviation * if self.sprung { 2.0 } else { 4.5 } + self.offset()
    }

    /// The smallest threshold that holds the wish with so many frames of `confirm`; `None` where the recording shows rows
    /// that no such noise explains, or so many jumps that by chance they make such rows more often than is wished: by
    /// chance a row of k is as rare as one jump to the power of k. The one for which there are jumps at all is no rate.
    pub(crate) fn needs(&self, rest: &AxisRest, wish: &Wish, confirm: u8) -> Option<f64> {
        if !self.explains(rest, confirm) {
            return None;
        }
        let engage = self.engage(wish.per_frame(), confirm).max(wish.least);
        if confirm > 1 && !self.explains(rest, 1) {
            let jumps = rest.distances.iter().filter(|&&distance| distance > engage).count().saturating_sub(1);
            let [jumps, frames] = [jumps, rest.frames].map(|count| f64::from(u32::try_from(count).unwrap_or(u32::MAX)));
            if (jumps / frames).powi(confirm.into()) > wish.per_frame() {
                return None;
            }
        }
        Some(engage)
    }

    /// Whether rows of so many frames were no further out than normal noise and the drift explain.
    fn explains(&self, rest: &AxisRest, confirm: u8) -> bool {
        let never = 1.0 / 16384.0 / f64::from(u32::try_from(rest.frames).unwrap_or(u32::MAX));
        let noise = self.noise;
        let normal = smallest(noise.deviation, |at| noise.per_frame(at, 0.0, confirm) <= never);
        // The reference of the rows may itself be off by as much as the drift, and by a step.
        rest.rows[usize::from(confirm) - 1] <= normal + 2.0 * rest.drift + rest.step
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
    let frames = f64::from(u32::try_from(rest.frames).unwrap_or(u32::MAX));
    let explained = 9.0 * rest.deviation.powi(2) * frames / 512.0 / rest.independent;
    (rest.drift.powi(2) - explained).max(0.0).sqrt()
}

/// The smallest distance from which on something holds, to a thousandth of a deviation. Noise is seldomer the further.
fn smallest(deviation: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut fails, mut holding) = (0.0, 12.0);
    while holding - fails > 1e-3 {
        let middle = f64::midpoint(fails, holding);
        if holds(middle * deviation) { holding = middle } else { fails = middle }
    }
    holding * deviation
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::TooShort { frames, wanted } => {
                let [frames, wanted] = [frames, wanted].map(|frames| thousands(frames as u64));
                write!(f, "{frames} frames of rest say too little of its noise: keep hands off for {wanted} frames")
            }
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
