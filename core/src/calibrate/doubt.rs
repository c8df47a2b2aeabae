//! What a threshold is based on: a rate that was reckoned, or a margin where the recording does not carry a rate.
//!
//! The tables know normal noise of the size and the correlation that were seen. A rate is claimed only where nothing that
//! was seen speaks against such noise. A jump that comes once an hour cannot be seen in a rest of two minutes and is in no
//! figure here.

use super::noise::{RestNoise, distance};
use super::spread::{Scale, Spread, beyond_steps, reference_off, surely_seen, times};
use super::tail::{Colour, ReturnPeriod, beyond};
use crate::deflection::Deflection;

/// What a threshold is based on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Basis {
    /// The target is held, as reckoned for normal noise of the size seen.
    Rate,
    /// Twice as far as was seen, or more: a margin. No rate is claimed, for this reason.
    Margin(Doubt),
}

/// Why no rate is claimed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub enum Doubt {
    /// No reading of the rest differed from another.
    NeverChanged,
    /// The deviation of the readings is below 0.58 of their quantisation step.
    Coarse,
    /// The rest lasted less than 110 s, and does not show how it wanders.
    Brief,
    /// The rest moves more slowly than the recording is long.
    Wanders,
    /// Single frames, or rows of two or three, were further out than normal noise of this size explains.
    Jumps,
    /// More frames were far out than normal noise of this size explains.
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

/// One axis: what was seen of it, and what is wanted.
#[derive(Clone, Copy)]
pub(super) struct Case<'a> {
    pub(super) noise: &'a RestNoise,
    pub(super) spread: Spread,
    pub(super) scale: Scale,
    pub(super) period: ReturnPeriod,
    pub(super) least: Deflection,
    /// Whether the rest was too short to show how it wanders.
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

    /// Whether all rows of one to three frames were further out than noise explains.
    pub(super) fn moved(&self) -> bool {
        (1..=3).all(|confirm| self.jumps(confirm))
    }

    /// The least threshold to be had with `confirm`; `None` where jumps would pass it too often.
    pub(super) fn engage(&self, doubt: Option<Doubt>, confirm: u8) -> Option<Deflection> {
        let reckoned = self.scale.deflection(self.spread.engage(self.noise, self.period, confirm));
        if doubt.is_none() {
            return Some(reckoned);
        }
        let engage = reckoned.max(self.scale.deflection(self.spread.margin(self.noise, confirm)));
        (!self.jumps(1) || self.seldom_in_a_row(engage.max(self.least), confirm)).then_some(engage)
    }

    /// Whether a row of `confirm` frames was further out than normal noise would be in 16,384 rests, or beyond the
    /// threshold itself where the target is for 256 rests or more: frequent jumps make the deviation so large that it would
    /// explain them.
    ///
    /// After jumps, `confirm` alone holds no rate. Jumps come in bursts. Where N jumps were seen and none lasted longer than
    /// a frame, up to 1 - 0.05^(1/N) of all jumps may last longer (95 %, the exact binomial bound), about 3 / N. With N jumps
    /// a rest that is up to three longer rows a rest, however large N is: more often than a rest shows.
    fn jumps(&self, confirm: u8) -> bool {
        let worth = self.scale.deflection(self.spread.engage(self.noise, self.period, confirm)).max(self.least);
        let passed = self.seen(confirm) > worth && self.period.outlasts(self.noise.frames);
        self.matters(confirm) && (passed || !self.spread.explains(self.noise, confirm))
    }

    /// A row within half the least threshold worth having is no jump, however still the stick is otherwise: readings in
    /// whole microseconds change by one where the stick hardly moves.
    fn matters(&self, confirm: u8) -> bool {
        self.seen(confirm) > Deflection::from_bits(self.least.to_bits() >> 1)
    }

    fn seen(&self, confirm: u8) -> Deflection {
        self.scale.deflection(surely_seen(self.noise, confirm))
    }

    /// Whether rows of `confirm` jumps would be as rare as wanted if jumps were independent: the probability of a row of k is
    /// that of one jump to the power of k. Real jumps come in rows more often, so that a threshold that fails this is not
    /// even a margin. A jump is a frame beyond `engage`; a single one says nothing of how often they come.
    fn seldom_in_a_row(&self, engage: Deflection, confirm: u8) -> bool {
        let jumps = beyond_steps(self.noise, self.scale.steps(engage)).saturating_sub(1);
        // In 2^-8ths of a frame, to keep the logarithm fine.
        match (u64::from(self.noise.frames) << 8).checked_div(jumps) {
            Some(frames) => ReturnPeriod::one_in(frames).shorter(8).of_a_row(confirm) >= self.period,
            None => true,
        }
    }

    /// Whether more frames were three deviations out, or further, than normal noise explains.
    fn has_tails(&self) -> bool {
        const WHITE: [u32; 2] = [1 << 20; 2];
        let Spread { deviation, step, .. } = self.spread;
        // Three deviations from the rest, whichever side of the reference that is on, before it was read in steps.
        let off = (u64::from(reference_off(self.noise)) << 8).saturating_add(step >> 1);
        // Frames of slow noise are far out in groups. Beyond three deviations a group has about 2/9 of the integrated
        // correlation.
        let together = self.noise.frames.checked_div(self.noise.independent).unwrap_or(1) / 4;
        (0..).zip(self.noise.far).any(|(place, count)| {
            let distance = (u64::from(distance(place)) << 8).saturating_sub(off);
            let Some(apart) = apart_at_most(self.noise.frames, count.into(), together.max(1)) else { return false };
            let as_many = beyond(apart, 1, Colour::new(WHITE));
            distance >= deviation.saturating_mul(3) && distance > times(deviation, as_many)
        })
    }
}

/// The period of frames below which `count` among `frames` are too many: more than 1.5 e + 4 sqrt(e k) + 3 k, where e are
/// expected and k come in a group. `None` where the count is not too many even if none are expected.
fn apart_at_most(frames: u32, count: u32, together: u32) -> Option<ReturnPeriod> {
    let (count, k) = (u64::from(count), u64::from(together));
    if count <= k.saturating_mul(3) {
        return None;
    }
    // sqrt(e) is (sqrt(6 count - 2 k) - 4 sqrt(k)) / 3; in 2^-8ths.
    let root = |x: u64| (x << 16).isqrt();
    let most = root(count.wrapping_mul(6).saturating_sub(k.wrapping_mul(2)));
    let expected = most.saturating_sub(root(k.wrapping_mul(16))).checked_div(3).unwrap_or(0);
    let apart = (u64::from(frames) << 16).checked_div(expected.wrapping_mul(expected))?;
    Some(ReturnPeriod::one_in(apart))
}
