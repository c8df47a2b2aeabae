//! How far a stick at rest strays, in 256ths of a step, and how far a threshold must be from it.
//!
//! `engage` is the sum of
//!
//! - z standard deviations of the noise without its drift, z from the tables; the deviation is taken one
//!   and a half of its own standard errors larger than it was measured;
//! - the furthest drift from the centre that noise does not explain, and for a spring the furthest that it left the stick from its centre;
//! - a unit for rounding.
//!
//! A stick that has drifted far is near one threshold only, which may then be passed twice as often as one of two; by
//! white noise, whose frames may each be on either side, four or eight times as often.
//!
//! A stick without a spring rests at one noisy reading (R2). Of two readings the distance has twice the variance; what the
//! rest has of it stays as long as the rest does, so that half of it is common to all frames, and drift counts on both
//! sides.
//!
//! What the tables claim of noise that nobody saw for 100 hours, they claim of normal noise. Where a row of frames was
//! further out than such noise would be in 16,384 rests like this one, the claim is not made for so many frames: a stick
//! that jumps for one frame needs `confirm` 2, one that jumps for three is refused. Nor is it made where a row was beyond
//! the threshold itself and the wish is for 256 such rests or more: jumps that are frequent are much of the deviation, and
//! would explain themselves. And where there are jumps, as many of them as were seen must by chance make a row of `confirm`
//! seldom enough: jumps in one frame of a hundred are two in a row in one of ten thousand. A jump that comes once an hour
//! cannot be seen in a rest of two minutes and is in no figure here.

use super::learnt::LearntAxis;
use super::noise::{RestNoise, place, small};
use super::refusal::Trouble;
use super::tail::{Colour, Rarity, beyond};
use crate::channel::Channel;
use crate::deflection::Deflection;
use crate::reading::{Reading, Unit};

/// What a stick at rest strays by.
#[derive(Clone, Copy)]
pub(super) struct Spread {
    sprung: bool,
    /// The standard deviation, as large as it may be.
    deviation: u64,
    drift: u64,
    scatter: u64,
}

impl Spread {
    pub(super) fn of<U>(axis: &LearntAxis<U>) -> Self {
        let noise = &axis.noise;
        let measured = (u64::from(noise.fast) << 8).isqrt().saturating_add(1);
        // A standard error of a deviation is 1 / sqrt(2 n) of it; one and a half of them, in 2^-10ths.
        let doubt = (9_u32 << 17).checked_div(noise.independent).unwrap_or(1 << 20).isqrt().saturating_add(1);
        let deviation = measured.saturating_add(times(measured, doubt));
        let drift = drift(noise);
        Self {
            sprung: axis.sprung,
            deviation,
            drift: if axis.sprung { drift } else { drift.saturating_mul(2) },
            scatter: if axis.sprung { u64::from(axis.scatter) << 8 } else { 0 },
        }
    }

    /// The smallest threshold that so many frames in a row pass no more often than that.
    pub(super) fn engage(&self, noise: &RestNoise, rarity: Rarity, confirm: u8) -> u64 {
        self.strays(noise, rarity, confirm).saturating_add(self.drift).saturating_add(self.scatter)
    }

    /// The part of it that is for noise.
    fn strays(&self, noise: &RestNoise, rarity: Rarity, confirm: u8) -> u64 {
        let both_sides = self.deviations(noise, rarity, confirm);
        // Of normal noise a share of exp(-2 z drift / deviation) of what is beyond one threshold is beyond the other.
        let (drift, sides) = (times(self.drift, both_sides), self.colour(noise).sides(confirm));
        let one_sided = if drift >= self.deviation.saturating_mul(2) {
            sides // 2 %
        } else if drift >= self.deviation.saturating_sub(self.deviation >> 2) {
            sides.saturating_sub(1) // 22 %: of 2 or 3 frames that may each be on either side it leaves half
        } else {
            return times(self.deviation, both_sides);
        };
        times(self.deviation, self.deviations(noise, rarity.more_often(one_sided), confirm))
    }

    /// Within this, a stick at rest is seen at rest: nineteen of twenty frames of one with a spring, and all frames of a
    /// stay (R2), for the seconds that one lasts, of one without.
    pub(super) fn release(&self) -> u64 {
        let deviations = if self.sprung { 2 << 10 } else { 9 << 9 };
        times(self.deviation, deviations).saturating_add(self.drift).saturating_add(self.scatter)
    }

    /// Whether rows of so many frames were no further out than normal noise and the drift explain.
    pub(super) fn explains(&self, noise: &RestNoise, confirm: u8) -> bool {
        let never = Rarity::one_in(noise.frames.into()).rarer(14);
        // The reference of the rows may itself be off by as much as the drift, and by a rounded step.
        let drift = u64::from(noise.drift).saturating_mul(2).saturating_add(1 << 8);
        let normal = times(self.deviation, beyond(never, confirm, Colour::new(noise.fresh)));
        furthest(noise, confirm) <= normal.saturating_add(drift)
    }

    /// The largest part of a threshold that is too large.
    pub(super) fn trouble(&self, noise: &RestNoise, rarity: Rarity, confirm: u8) -> Trouble {
        let strays = self.strays(noise, rarity, confirm);
        let [new, _] = noise.fresh;
        if self.scatter > strays && self.scatter > self.drift {
            Trouble::Spring
        } else if self.drift > strays {
            Trouble::Drift
        } else if new.abs_diff(1 << 20) > 1 << 19 {
            Trouble::SlowNoise
        } else {
            Trouble::Noise
        }
    }

    /// How many deviations of its own noise a threshold must be from a stick's rest.
    fn deviations(&self, noise: &RestNoise, rarity: Rarity, confirm: u8) -> u32 {
        let z = beyond(rarity, confirm, self.colour(noise));
        // Of the noise of two readings; 1449 / 1024 is above the root of 2, and a z below 2^13.
        if self.sprung { z } else { z.wrapping_mul(1449).wrapping_shr(10).wrapping_add(1) }
    }

    /// How the noise of the distance from a stick's rest hangs together.
    fn colour(&self, noise: &RestNoise) -> Colour {
        if self.sprung { Colour::new(noise.fresh) } else { Colour::of_distance(noise.fresh) }
    }
}

/// How far out so many frames in a row were.
pub(super) fn furthest(noise: &RestNoise, confirm: u8) -> u64 {
    let [one, two, three] = noise.rows;
    let row = match confirm {
        0 | 1 => one,
        2 => two,
        _ => three,
    };
    u64::from(row) << 8
}

/// Whether jumps that come by chance, as often as frames were so many steps out, seldom enough make a row of `confirm`:
/// by chance a row of k is as rare as one jump to the power of k. The one for which there are jumps at all is no rate.
pub(super) fn seldom_in_a_row(noise: &RestNoise, steps: u64, confirm: u8, rarity: Rarity) -> bool {
    let counted = place(small(steps)).unwrap_or(0);
    let jumps = noise.far.get(counted).copied().map_or(0, u64::from).saturating_sub(1);
    // One in so many frames, 2^8 of them to keep its logarithm fine.
    match (u64::from(noise.frames) << 8).checked_div(jumps) {
        Some(frames) => Rarity::one_in(frames).more_often(8).of_a_row(confirm) >= rarity,
        None => true,
    }
}

/// The drift that noise does not explain. The mean of 512 frames has noise, too, the more the slower it is; the furthest
/// of some dozens is within three of its deviations.
fn drift(noise: &RestNoise) -> u64 {
    let of_512 = u64::from(noise.fast).saturating_mul(noise.frames.into()) >> 9;
    let explained = of_512.checked_div(noise.independent.into()).unwrap_or(0).saturating_mul(9);
    let drift = u64::from(noise.drift);
    drift.saturating_mul(drift).saturating_sub(explained << 8).isqrt()
}

/// So many 2^-10ths of it, rounded up.
fn times(distance: u64, by: u32) -> u64 {
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
