//! Decides what a threshold is based on: a computed rate, or a margin where the recording does not support a rate.
//!
//! The tables are for normal noise with the measured deviation and correlation. A rate is claimed only where no
//! measurement contradicts this model. A jump that comes once an hour does not show in a rest of two minutes, so no
//! figure here includes it.

use super::noise::{RestNoise, distance};
use super::spread::{Scale, Spread, beyond_steps, reference_off, surely_seen, times};
use super::tail::{Colour, ReturnPeriod, beyond};
use crate::quantity::Deflection;

/// What a threshold is based on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Basis {
    /// The threshold holds the target, computed for normal noise of the measured deviation.
    Rate,
    /// A margin: at least twice the largest distance that was seen. No rate is claimed, for this reason.
    Margin(Doubt),
}

/// Why no rate is claimed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub enum Doubt {
    /// All readings of the rest are the same.
    NeverChanged,
    /// The standard deviation of the readings is below 0.58 of their quantisation step.
    Coarse,
    /// The rest lasted less than 110 s: too short to show whether it wanders.
    Brief,
    /// The rest wanders: its mean drifts over times as long as the recording, or longer.
    Wanders,
    /// Single frames, or rows of two or three, were further from the rest than normal noise of this deviation explains.
    Jumps,
    /// More frames were far from the rest than normal noise of this deviation explains.
    Tails,
}

impl Doubt {
    /// Why no rate is claimed, in words.
    pub const fn wording(self) -> &'static str {
        match self {
            Self::NeverChanged => "its reading never changed: its noise is within one step and cannot be seen",
            Self::Coarse => "its readings come in steps so coarse that its noise cannot be seen through them",
            Self::Brief => "it was at rest for less than two minutes: how it wanders cannot be seen",
            Self::Wanders => "it wanders: a longer rest would show more of it",
            Self::Jumps => "its readings jump, and how long jumps last is not known",
            Self::Tails => "its readings are far out more often than normal noise is",
        }
    }
}

/// One axis: its measurements and its target.
#[derive(Clone, Copy)]
pub(super) struct Case<'a> {
    pub(super) noise: &'a RestNoise,
    pub(super) spread: Spread,
    pub(super) scale: Scale,
    pub(super) period: ReturnPeriod,
    pub(super) least: Deflection,
    /// Whether the rest was too short to show whether it wanders.
    pub(super) brief: bool,
}

impl Case<'_> {
    /// Why no rate can be claimed; `None` where one can.
    pub(super) fn doubt(&self) -> Option<Doubt> {
        let (noise, step) = (self.noise, self.spread.step);
        if noise.peak_to_peak() == 0 {
            Some(Doubt::NeverChanged)
        } else if self.spread.measured.saturating_mul(50) < step.saturating_mul(29) {
            Some(Doubt::Coarse)
        } else if self.brief {
            Some(Doubt::Brief)
        } else if noise.wanders {
            Some(Doubt::Wanders)
        } else if (1..=3).any(|confirm| self.jumps(confirm)) {
            Some(Doubt::Jumps)
        } else if self.matters(1) && self.has_tails() {
            Some(Doubt::Tails)
        } else {
            None
        }
    }

    /// Whether rows of one, of two and of three frames were all further from the rest than noise explains.
    pub(super) fn moved(&self) -> bool {
        (1..=3).all(|confirm| self.jumps(confirm))
    }

    /// The smallest threshold with this `confirm`; `None` where jumps would pass it too often.
    pub(super) fn engage(&self, doubt: Option<Doubt>, confirm: u8) -> Option<Deflection> {
        let reckoned = self.scale.deflection(self.spread.engage(self.noise, self.period, confirm));
        if doubt.is_none() {
            return Some(reckoned);
        }
        let engage = reckoned.max(self.scale.deflection(self.spread.margin(self.noise, confirm)));
        (!self.jumps(1) || self.seldom_in_a_row(engage.max(self.least), confirm)).then_some(engage)
    }

    /// Whether a row of `confirm` frames was further from the rest than normal noise is in 16,384 rests of this length.
    /// Also true where a row passed the threshold itself and the return period is at least 256 rests: frequent jumps
    /// raise the deviation so far that normal noise would explain them.
    ///
    /// After jumps, `confirm` alone holds no rate, since jumps come in bursts. Where N jumps were seen and none lasted
    /// longer than one frame, a fraction of up to 1 - 0.05^(1/N) of all jumps may last longer, about 3 / N (exact
    /// binomial bound, 95 %). With N jumps per rest, that is up to three longer rows per rest for every N. One rest
    /// cannot show that longer rows are rarer.
    fn jumps(&self, confirm: u8) -> bool {
        let worth = self.scale.deflection(self.spread.engage(self.noise, self.period, confirm)).max(self.least);
        let passed = self.seen(confirm) > worth && self.period.outlasts(self.noise.frames);
        self.matters(confirm) && (passed || !self.spread.explains(self.noise, confirm))
    }

    /// Whether a row of `confirm` frames was further from the rest than half of `Bounds::least`. A nearer row is no
    /// jump, however still the stick is otherwise: readings in whole microseconds change by one where the stick hardly
    /// moves.
    fn matters(&self, confirm: u8) -> bool {
        self.seen(confirm) > Deflection::from_bits(self.least.to_bits() >> 1)
    }

    fn seen(&self, confirm: u8) -> Deflection {
        self.scale.deflection(surely_seen(self.noise, confirm))
    }

    /// Whether rows of `confirm` jumps would be as rare as the target asks if jumps were independent. The probability
    /// of a row of k jumps is then that of one jump to the power of k. Real jumps come in rows more often, so a
    /// threshold that fails here is not even a margin. A jump is a frame beyond `engage`. One jump gives no rate, so
    /// the count is reduced by one.
    fn seldom_in_a_row(&self, engage: Deflection, confirm: u8) -> bool {
        let jumps = beyond_steps(self.noise, self.scale.steps(engage)).saturating_sub(1);
        // In units of 2^-8 frames, so that the logarithm keeps its resolution.
        match (u64::from(self.noise.frames) << 8).checked_div(jumps) {
            Some(frames) => ReturnPeriod::one_in(frames).shorter(8).of_a_row(confirm) >= self.period,
            None => true,
        }
    }

    /// Whether more frames were at least three standard deviations from the rest than normal noise explains.
    fn has_tails(&self) -> bool {
        const WHITE: [u32; 2] = [1 << 20; 2];
        let Spread { deviation, step, .. } = self.spread;
        // Distances are counted from the reference, and in quantisation steps. `off` is the largest difference from the
        // distance to the rest before quantisation.
        let off = (u64::from(reference_off(self.noise)) << 8).saturating_add(step >> 1);
        // In slow noise, frames beyond a threshold come in groups. Beyond three deviations, a group has about 2/9 of
        // the integrated correlation.
        let together = self.noise.frames.checked_div(self.noise.independent).unwrap_or(1) / 4;
        (0..).zip(self.noise.far).any(|(place, count)| {
            let distance = (u64::from(distance(place)) << 8).saturating_sub(off);
            let Some(apart) = apart_at_most(self.noise.frames, count.into(), together.max(1)) else { return false };
            let as_many = beyond(apart, 1, Colour::new(WHITE));
            distance >= deviation.saturating_mul(3) && distance > times(deviation, as_many)
        })
    }
}

/// The return period, in frames, above which `count` events in `frames` are too many for normal noise. With e events
/// expected and k in a group, too many is more than 1.5 e + 4 sqrt(e k) + 3 k. `None` where the count is not too many
/// even for e = 0.
fn apart_at_most(frames: u32, count: u32, together: u32) -> Option<ReturnPeriod> {
    let (count, k) = (u64::from(count), u64::from(together));
    if count <= k.saturating_mul(3) {
        return None;
    }
    // sqrt(e) is (sqrt(6 count - 2 k) - 4 sqrt(k)) / 3, here in units of 2^-8.
    let root = |x: u64| (x << 16).isqrt();
    let most = root(count.wrapping_mul(6).saturating_sub(k.wrapping_mul(2)));
    let expected = most.saturating_sub(root(k.wrapping_mul(16))).checked_div(3).unwrap_or(0);
    let apart = (u64::from(frames) << 16).checked_div(expected.wrapping_mul(expected))?;
    Some(ReturnPeriod::one_in(apart))
}
