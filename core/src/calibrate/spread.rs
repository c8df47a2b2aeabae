//! How far a stick at rest strays, in 256ths of a step, and how far a threshold must be from it.
//!
//! Where a rate is claimed (`doubt.rs`), `engage` is the sum of
//!
//! - z standard deviations of the noise, z from the tables; the deviation is taken one and a half of its own standard
//!   errors larger than it was measured;
//! - for a spring, the furthest that it left the stick from its centre;
//! - half a quantisation step, as the rest may be anywhere between two steps; a whole one for a stick without a spring;
//! - a unit for rounding.
//!
//! Where no rate is claimed, `engage` is the larger of that and twice the distance from the rest that rows of `confirm`
//! frames were seen at. It is never less than two quantisation steps.
//!
//! A stick without a spring rests at one noisy reading (R2). The distance between two readings has twice the variance of one.
//! The rest stays the same for many frames, so that half of that variance is common to them.
//!
//! The variance is that of all counted frames about their mean. Slow movement is part of it; there is no other figure for
//! drift. A rest that moves more slowly than this allows for wanders, and no rate is claimed.

use super::learnt::LearntAxis;
use super::noise::{RestNoise, place};
use super::tail::{Colour, ReturnPeriod, beyond};
use super::whole::saturate_u32;
use crate::channel::Channel;
use crate::deflection::Deflection;
use crate::reading::{Reading, Unit};

/// What a stick at rest strays by.
#[derive(Clone, Copy)]
pub(super) struct Spread {
    sprung: bool,
    colour: Colour,
    /// The standard deviation as it was measured.
    pub(super) measured: u64,
    /// The standard deviation, as large as it may be.
    pub(super) deviation: u64,
    pub(super) scatter: u64,
    /// The quantisation step; 0 where it is not known.
    pub(super) step: u64,
}

impl Spread {
    pub(super) fn of<U>(axis: &LearntAxis<U>) -> Self {
        let noise = &axis.noise;
        let measured = (u64::from(noise.variance) << 8).isqrt().saturating_add(1);
        // A standard error of a deviation is 1 / sqrt(2 n) of it; one and a half of them, in 2^-10ths.
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

    /// The smallest threshold that normal noise of this size passes as rarely as `period` with `confirm`.
    pub(super) fn engage(&self, noise: &RestNoise, period: ReturnPeriod, confirm: u8) -> u64 {
        // A stick without a spring rests at a reading, which may itself be anywhere between two steps.
        let quantised = if self.sprung { self.step >> 1 } else { self.step };
        let engage = self.strays(noise, period, confirm).saturating_add(self.scatter).saturating_add(quantised);
        engage.max(self.step.saturating_mul(2))
    }

    /// Twice as far as rows of `confirm` frames were seen.
    pub(super) fn margin(&self, noise: &RestNoise, confirm: u8) -> u64 {
        furthest(noise, confirm).saturating_mul(2).saturating_add(self.scatter)
    }

    /// The part of a threshold that is for noise.
    pub(super) fn strays(&self, noise: &RestNoise, period: ReturnPeriod, confirm: u8) -> u64 {
        if self.sprung {
            return times(self.deviation, beyond(period, confirm, self.colour));
        }
        // Of the noise of two readings; 1449 / 1024 is above the root of 2, and a z below 2^13.
        let z = beyond(period, confirm, Colour::of_distance(noise.fresh));
        times(self.deviation, z.wrapping_mul(1449).wrapping_shr(10).wrapping_add(1))
    }

    /// Within this, a stick at rest is seen at rest: nineteen of twenty frames of one with a spring, and all frames of a
    /// stay (R2), for the seconds that one lasts, of one without.
    pub(super) fn release(&self) -> u64 {
        let deviations = if self.sprung { 2 << 10 } else { 9 << 9 };
        times(self.deviation, deviations).saturating_add(self.scatter)
    }

    /// Whether rows of `confirm` frames were no further out than normal noise would be in 16,384 rests like this one.
    pub(super) fn explains(&self, noise: &RestNoise, confirm: u8) -> bool {
        let never = ReturnPeriod::one_in(noise.frames.into()).longer(14);
        let normal = times(self.deviation, beyond(never, confirm, self.colour));
        surely_seen(noise, confirm) <= normal.saturating_add(self.step >> 1)
    }
}

/// How far from the rest rows of `confirm` frames were, at most: rows are measured from the reference.
pub(super) fn furthest(noise: &RestNoise, confirm: u8) -> u64 {
    u64::from(row(noise, confirm).saturating_add(reference_off(noise)).min(outermost(noise))) << 8
}

/// How far from the rest rows of `confirm` frames were, at least; for one frame it is exact.
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

/// How far the reference is from the rest, in steps.
pub(super) const fn reference_off(noise: &RestNoise) -> u16 {
    noise.reference.abs_diff(noise.centre)
}

/// How many frames were this many steps from the reference or further; the distance is rounded down to one that is counted.
pub(super) fn beyond_steps(noise: &RestNoise, steps: u64) -> u64 {
    let counted = place(saturate_u32(steps)).unwrap_or(0);
    noise.far.get(counted).copied().map_or(0, u64::from)
}

/// `by` 2^-10ths of the distance, rounded up.
pub(super) fn times(distance: u64, by: u32) -> u64 {
    (distance.saturating_mul(u64::from(by)) >> 10).saturating_add(1)
}

/// What a step of a reading is in units of a deflection.
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

    /// A distance as a deflection, rounded up, and a unit more: both readings of a distance are rounded to one.
    pub(super) fn deflection(self, distance: u64) -> Deflection {
        let units = distance.saturating_mul(64).checked_div(u64::from(self.travel));
        let units = units.unwrap_or(u64::MAX).saturating_add(2);
        Deflection::from_bits(i16::try_from(units).unwrap_or(i16::MAX))
    }
}
