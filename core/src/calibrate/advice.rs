//! Computes thresholds (T1, T3, R2) and a dwell (H1) from the noise of a rest: the smallest values that hold the
//! target.
//!
//! `spread.rs` holds the terms of a threshold; `doubt.rs` decides where no rate is claimed for it. The recommended
//! `confirm` is the smallest that reaches `Bounds::aim`. Where none reaches it, the `confirm` with the smallest
//! threshold is recommended.

use super::doubt::{Basis, Case, Doubt};
use super::learnt::{Learnt, LearntAxis};
use super::refusal::{Refusal, Trouble};
use super::spread::{Scale, Spread};
use super::tail::ReturnPeriod;
use super::target::{Bounds, Target};
use super::whole::saturate_u32;
use crate::channel::{Channel, Channels};
use crate::policy::{Policy, Rest};
use crate::quantity::{AxisSet, Deflection, Duration, Frame, Unit};

/// Smallest effective number of independent frames. It gives the deviation with a standard error of 4.4 %, which is 1 /
/// sqrt(2 x 256).
const ENOUGH: u32 = 256;

/// The thresholds of one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct AxisAdvice {
    /// Recommended `engage` of the axis rule (T1).
    pub engage: Deflection,
    /// Recommended `release` (T3, R2): half of `engage`, or more where a stick at rest strays further; always below
    /// `engage`.
    pub release: Deflection,
    /// Recommended `confirm` (T1), 1 to 3.
    pub confirm: u8,
    /// Whether these thresholds hold the target, or are a margin without a claimed rate.
    pub basis: Basis,
}

/// The thresholds of all watched axes, and the dwell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Recommendation<const N: usize> {
    /// The thresholds of each axis, axis 0 first; `None` where the axis is not watched.
    #[cfg_attr(feature = "serde", serde(with = "crate::quantity::array"))]
    pub axes: [Option<AxisAdvice>; N],
    /// Recommended `dwell` (H1), the longest that any watched axis needs. One axis needs the time that its slowest
    /// sweep spent within `engage`, and, where its spring swings the stick past `release`, the time until the stick
    /// stands still. `None` where no watched stick was swept.
    pub dwell: Option<Duration>,
}

impl<const N: usize> Recommendation<N> {
    /// Returns the policy with these thresholds: `engage`, `release` and `confirm` of each watched axis, and `dwell`
    /// where one is recommended. The axes with a fixed rest (R1) get their rest from `rests`. Nothing else changes; a
    /// failsafe stays where it was.
    #[must_use]
    pub fn apply(&self, mut policy: Policy<N>, rests: &Frame<N>) -> Policy<N> {
        for ((rule, advice), &rest) in policy.axes.iter_mut().zip(&self.axes).zip(rests.axes()) {
            let Some(advice) = advice else { continue };
            (rule.engage, rule.release, rule.confirm) = (advice.engage, advice.release, advice.confirm);
            if let Rest::At(_) = rule.rest {
                rule.rest = Rest::At(rest);
            }
        }
        policy.dwell = self.dwell.unwrap_or(policy.dwell);
        policy
    }
}

impl<U: Unit, const N: usize> Learnt<U, N> {
    /// Computes the smallest thresholds that hold the target at the measured noise. `channels` read the instructor's
    /// sticks and pass on their full travel. Where the rest does not show how often noise passes a threshold, the
    /// threshold is at least twice the largest distance seen, and [`AxisAdvice::basis`] says so.
    ///
    /// # Errors
    /// Names the first watched axis without thresholds, and says what would help.
    pub fn recommend<const M: usize>(
        &self,
        channels: &Channels<U, N, M>,
        watched: AxisSet,
        target: &Target,
    ) -> Result<Recommendation<N>, Refusal> {
        let asked = (target.period(watched), target.frames_in_110_s());
        let (mut advised, mut dwell) = ([None; N], None);
        let axes = self.axes.iter().zip(&channels.axes).zip(&mut advised);
        for (axis, ((learnt, channel), advised)) in (0..).zip(axes) {
            if !watched.contains(axis) {
                continue;
            }
            let channel = channel.as_ref().ok_or(Refusal::NoChannel { axis })?;
            let bounds = if learnt.sprung { target.sprung } else { target.unsprung };
            let advice = learnt.advise(axis, channel, asked, bounds)?;
            dwell = dwell.max(learnt.busy(channel, advice));
            *advised = Some(advice);
        }
        let dwell = dwell.map(|frames| Duration::from_ticks(target.frame_length.as_ticks().saturating_mul(frames)));
        Ok(Recommendation { axes: advised, dwell })
    }
}

impl Target {
    /// Return period of one axis, in frames: its noise may pass the threshold once in this time.
    fn period(&self, watched: AxisSet) -> ReturnPeriod {
        let micros = u64::from(self.apart).saturating_mul(1_000_000);
        let frames = micros.checked_div(u64::from(self.frame_length.as_ticks().max(1000))).unwrap_or(0);
        ReturnPeriod::one_in(frames.saturating_mul(watched.len().into()))
    }

    /// Number of frames in 110 s. A shorter rest does not show whether it wanders.
    fn frames_in_110_s(&self) -> u32 {
        110_000_000_u32.checked_div(self.frame_length.as_ticks().max(1000)).unwrap_or(0)
    }
}

impl<U: Unit> LearntAxis<U> {
    fn advise(
        &self,
        axis: u8,
        channel: &Channel<U>,
        (period, brief): (ReturnPeriod, u32),
        bounds: Bounds,
    ) -> Result<AxisAdvice, Refusal> {
        let noise = &self.noise;
        if noise.independent < ENOUGH && !noise.wanders {
            let wanted = u64::from(noise.frames).saturating_mul(u64::from(ENOUGH));
            let wanted = wanted.checked_div(u64::from(noise.independent)).unwrap_or(u64::MAX);
            return Err(Refusal::RestTooShort { axis, frames: noise.frames, wanted: saturate_u32(wanted) });
        }
        if noise.peak_to_peak() == 0 && self.step == 0 {
            return Err(Refusal::NeverChanged { axis });
        }
        let (spread, scale) = (Spread::of(self), Scale::of(channel));
        let case = Case { noise, spread, scale, period, least: bounds.least, brief: noise.frames < brief };
        if case.moved() {
            return Err(Refusal::Moved { axis });
        }
        let doubt = case.doubt();
        let mut chosen: Option<(Deflection, u8)> = None;
        for confirm in 1..=3 {
            let Some(engage) = case.engage(doubt, confirm) else { continue };
            if chosen.is_none_or(|(least, _)| least > bounds.aim && engage < least) {
                chosen = Some((engage, confirm));
            }
        }
        let (smallest, confirm) = chosen.ok_or(Refusal::Moved { axis })?;
        if smallest > bounds.most {
            if doubt == Some(Doubt::Jumps) {
                return Err(Refusal::Moved { axis });
            }
            let trouble = self.trouble(doubt, case, confirm);
            return Err(Refusal::TooNoisy { axis, engage: smallest, most: bounds.most, trouble });
        }
        let engage = smallest.max(bounds.least);
        let half = Deflection::from_bits(engage.to_bits() >> 1);
        let below = engage.saturating_sub(Deflection::from_bits(1));
        let release = scale.deflection(spread.release()).max(half).min(below);
        Ok(AxisAdvice { engage, release, confirm, basis: doubt.map_or(Basis::Rate, Basis::Margin) })
    }

    /// The largest contribution to a threshold that is too large.
    fn trouble(&self, doubt: Option<Doubt>, case: Case<'_>, confirm: u8) -> Trouble {
        let strays = case.spread.strays(&self.noise, case.period, confirm);
        let [new, _] = self.noise.fresh;
        if case.spread.scatter > strays {
            Trouble::Spring
        } else if let Some(Doubt::Coarse | Doubt::NeverChanged) = doubt {
            Trouble::Steps
        } else if let Some(Doubt::Wanders) = doubt {
            Trouble::Drift
        } else if new.abs_diff(1 << 20) > 1 << 19 {
            Trouble::SlowNoise
        } else {
            Trouble::Noise
        }
    }

    /// Number of frames for which a stick that passes its centre, or returns to it, must not count as at rest. `None`
    /// where the stick was not swept.
    fn busy(&self, channel: &Channel<U>, advice: AxisAdvice) -> Option<u32> {
        let scale = Scale::of(channel);
        let sweep = self.slowest_sweep?;
        // The narrowest band that contains `engage`, or the widest band.
        let [mut frames, ..] = sweep.frames;
        for (&inside, band) in sweep.frames.iter().zip(sweep.bands()) {
            if scale.deflection(band) > advice.engage {
                frames = inside;
            }
        }
        // One frame more, since a sweep may begin and end between two frames. `confirm` more, since the axis becomes
        // held only then.
        let sweep = u32::from(frames).saturating_add(1).saturating_add(advice.confirm.into());
        let over = scale.deflection(u64::from(self.overshoot) << 8) > advice.release;
        Some(sweep.saturating_add(if over { u32::from(self.ring) } else { 0 }))
    }
}
