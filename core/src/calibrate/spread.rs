//! Computes how far a stick at rest strays, and how far from its rest a threshold must be; both in 256ths of a step.
//!
//! Where a rate is claimed (`doubt.rs`), `engage` is the sum of
//!
//! - z standard deviations of the noise, z from the tables; the measured deviation is increased by one and a half of
//!   its standard errors;
//! - for a sprung stick, the largest distance from its centre at which it came to rest;
//! - half a quantisation step, since the rest may be anywhere between two steps; a whole step for a stick without a
//!   spring;
//! - a unit for rounding.
//!
//! Where no rate is claimed, `engage` is the larger of that sum and of twice the largest distance from the rest that a
//! row of `confirm` frames reached, plus the term of the spring.
//!
//! A stick without a spring rests at one noisy reading (R2). The distance between two readings has twice the variance
//! of one. The rest stays the same for many frames, so half of that variance is common to them.
//!
//! The variance is that of all counted frames about their mean. It includes slow movement; there is no separate term
//! for drift. A rest that moves more slowly than this covers wanders, and no rate is claimed.

use super::learnt::LearntAxis;
use super::noise::{RestNoise, place};
use super::tail::{Colour, ReturnPeriod, beyond};
use super::whole::saturate_u32;
use crate::channel::Channel;
use crate::quantity::{Deflection, Reading, Unit};

/// The components of how far a stick at rest strays.
#[derive(Clone, Copy)]
pub(super) struct Spread {
    sprung: bool,
    colour: Colour,
    /// Standard deviation, as measured.
    pub(super) measured: u64,
    /// Standard deviation, increased by one and a half of its standard errors.
    pub(super) deviation: u64,
    pub(super) scatter: u64,
    /// The quantisation step; 0 where it is not known.
    pub(super) step: u64,
}

impl Spread {
    pub(super) fn of<U>(axis: &LearntAxis<U>) -> Self {
        let noise = &axis.noise;
        let measured = (u64::from(noise.variance) << 8).isqrt().saturating_add(1);
        // The standard error of a deviation is 1 / sqrt(2 n) of it. `doubt` is one and a half of it, in units of 2^-10.
        let doubt = (9_u32 << 17).checked_div(noise.independent).unwrap_or(1 << 20).isqrt().saturating_add(1);
        Self {
            sprung: axis.sprung,
            colour: Colour::new(noise.fresh),
            measured,
            deviation: measured.saturating_add(times(measured, doubt)),
            scatter: if axis.sprung { u64::from(axis.scatter) << 8 } else { 0 },
            step: u64::from(axis.step) << 8,
        }
    }

    /// The smallest threshold that normal noise of this deviation passes at most once in `period`, with this `confirm`.
    /// It is never less than two quantisation steps.
    pub(super) fn engage(&self, noise: &RestNoise, period: ReturnPeriod, confirm: u8) -> u64 {
        // The rest of a stick without a spring is a reading, which may itself be anywhere between two steps.
        let quantised = if self.sprung { self.step >> 1 } else { self.step };
        let engage = self.strays(noise, period, confirm).saturating_add(self.scatter).saturating_add(quantised);
        engage.max(self.step.saturating_mul(2))
    }

    /// Twice the largest distance that a row of `confirm` frames reached, plus the term of the spring.
    pub(super) fn margin(&self, noise: &RestNoise, confirm: u8) -> u64 {
        furthest(noise, confirm).saturating_mul(2).saturating_add(self.scatter)
    }

    /// The noise term of a threshold.
    pub(super) fn strays(&self, noise: &RestNoise, period: ReturnPeriod, confirm: u8) -> u64 {
        if self.sprung {
            return times(self.deviation, beyond(period, confirm, self.colour));
        }
        // The noise of the distance between two readings: 1449 / 1024 is above the square root of 2, and z is below
        // 2^13.
        let z = beyond(period, confirm, Colour::of_distance(noise.fresh));
        times(self.deviation, z.wrapping_mul(1449).wrapping_shr(10).wrapping_add(1))
    }

    /// The distance within which a stick at rest is seen at rest. With a spring, 19 of 20 frames are within it (2
    /// deviations). Without a spring, all frames of a stay (R2), which lasts seconds, are within it (4.5 deviations).
    pub(super) fn release(&self) -> u64 {
        let deviations = if self.sprung { 2 << 10 } else { 9 << 9 };
        times(self.deviation, deviations).saturating_add(self.scatter)
    }

    /// Whether rows of `confirm` frames were no further from the rest than normal noise is in 16,384 rests of this
    /// length.
    pub(super) fn explains(&self, noise: &RestNoise, confirm: u8) -> bool {
        let never = ReturnPeriod::one_in(noise.frames.into()).longer(14);
        let normal = times(self.deviation, beyond(never, confirm, self.colour));
        surely_seen(noise, confirm) <= normal.saturating_add(self.step >> 1)
    }
}

/// The largest distance from the rest that a row of `confirm` frames reached, as an upper bound: rows are measured from
/// the reference.
pub(super) fn furthest(noise: &RestNoise, confirm: u8) -> u64 {
    u64::from(row(noise, confirm).saturating_add(reference_off(noise)).min(outermost(noise))) << 8
}

/// The largest distance from the rest that a row of `confirm` frames reached, as a lower bound; exact for one frame.
pub(super) fn surely_seen(noise: &RestNoise, confirm: u8) -> u64 {
    let row = row(noise, confirm).saturating_sub(reference_off(noise));
    u64::from(if confirm <= 1 { outermost(noise) } else { row }) << 8
}

fn row(noise: &RestNoise, confirm: u8) -> u16 {
    let [one, two, three] = noise.rows;
    match confirm {
        0 | 1 => one,
        2 => two,
        _ => three,
    }
}

fn outermost(noise: &RestNoise) -> u16 {
    noise.low.abs_diff(noise.centre).max(noise.high.abs_diff(noise.centre))
}

/// Distance of the reference from the rest, in steps.
pub(super) const fn reference_off(noise: &RestNoise) -> u16 {
    noise.reference.abs_diff(noise.centre)
}

/// Number of frames at least this many steps from the reference. The distance is rounded down to one that `far` counts.
pub(super) fn beyond_steps(noise: &RestNoise, steps: u64) -> u64 {
    let counted = place(saturate_u32(steps)).unwrap_or(0);
    noise.far.get(counted).copied().map_or(0, u64::from)
}

/// `distance` times `by` / 2^10, rounded up.
pub(super) fn times(distance: u64, by: u32) -> u64 {
    (distance.saturating_mul(u64::from(by)) >> 10).saturating_add(1)
}

/// Converts steps of a reading to deflections, and back.
#[derive(Clone, Copy)]
pub(super) struct Scale {
    /// Steps from the centre to the nearer end.
    travel: u16,
}

impl Scale {
    pub(super) fn of<U: Unit>(channel: &Channel<U>) -> Self {
        let [low, centre, high] = [channel.low, channel.centre, channel.high].map(Reading::to_bits);
        Self { travel: centre.saturating_sub(low).min(high.saturating_sub(centre)) }
    }

    /// A deflection as a distance in whole steps.
    pub(super) fn steps(self, deflection: Deflection) -> u64 {
        u64::from(deflection.magnitude()).saturating_mul(u64::from(self.travel)) >> 14
    }

    /// A distance as a deflection, rounded up, plus one unit, since both readings of a distance are rounded to a unit.
    pub(super) fn deflection(self, distance: u64) -> Deflection {
        let units = distance.saturating_mul(64).checked_div(u64::from(self.travel));
        let units = units.unwrap_or(u64::MAX).saturating_add(2);
        Deflection::from_bits(i16::try_from(units).unwrap_or(i16::MAX))
    }
}
