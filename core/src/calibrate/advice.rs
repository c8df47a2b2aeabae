//! From the noise of a rest to thresholds (T1 T3 R2) and a dwell (H1): the smallest that hold what is wanted.
//!
//! `spread.rs` says what they are made of, `doubt.rs` where no rate is claimed for them. The fewest frames of `confirm` are recommended that reach the threshold aimed
//! at; where none do, the smallest threshold.

use super::doubt::{Basis, Case, Doubt};
use super::learnt::{Learnt, LearntAxis};
use super::refusal::{Refusal, Trouble};
use super::spread::{Scale, Spread};
use super::tail::ReturnPeriod;
use super::target::{Bounds, Target};
use super::whole::saturate_u32;
use crate::axis_set::AxisSet;
use crate::channel::{Channel, Channels};
use crate::clock::Duration;
use crate::deflection::{Deflection, Frame};
use crate::policy::{Policy, Rest};
use crate::reading::Unit;

/// The least effective number of independent frames: it gives the deviation to 4.4 %, 1 / sqrt(2 x 256).
const ENOUGH: u32 = 256;

/// The thresholds of one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct AxisAdvice {
    /// Recommended `engage` of its rule (T1).
    pub engage: Deflection,
    /// Recommended `release` (T3, R2): half of that, or what a resting stick needs to be seen at rest.
    pub release: Deflection,
    /// Recommended `confirm` (T1), 1 to 3.
    pub confirm: u8,
    /// Whether they hold the target, or are a margin for which no rate is claimed.
    pub basis: Basis,
}

/// The thresholds of all watched axes, and the dwell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Recommendation<const N: usize> {
    /// Of each watched axis, axis 0 first.
    #[cfg_attr(feature = "serde", serde(with = "crate::array"))]
    pub axes: [Option<AxisAdvice>; N],
    /// Recommended `dwell` (H1): as long as the slowest sweep was within `engage`, and as a spring swings that swings
    /// past its `release`. `None` where no watched stick was swept.
    pub dwell: Option<Duration>,
}

impl<const N: usize> Recommendation<N> {
    /// The policy with these thresholds; sticks that have a fixed rest get the one given here.
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
    /// The smallest thresholds that hold the target at the noise that was measured, as read through these channels: the
    /// instructor's, all of whose travel comes out. Where the rest does not say how often noise passes a threshold, it is
    /// twice as far as was seen, and [`AxisAdvice::basis`] says so.
    ///
    /// # Errors
    /// The first watched axis for which there is none, and what would help.
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
        let dwell = dwell.map(|frames| Duration::from_ticks(target.frame.as_ticks().saturating_mul(frames)));
        Ok(Recommendation { axes: advised, dwell })
    }
}

impl Target {
    /// How rare the noise of one axis must be beyond its threshold, in frames.
    fn period(&self, watched: AxisSet) -> ReturnPeriod {
        let micros = u64::from(self.apart).saturating_mul(1_000_000);
        let frames = micros.checked_div(u64::from(self.frame.as_ticks().max(1000))).unwrap_or(0);
        ReturnPeriod::one_in(frames.saturating_mul(watched.len().into()))
    }

    /// A rest of fewer frames does not show how it wanders.
    fn frames_in_110_s(&self) -> u32 {
        110_000_000_u32.checked_div(self.frame.as_ticks().max(1000)).unwrap_or(0)
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

    /// What most of a threshold that is too large is for.
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

    /// For how many frames a stick that passes its centre, or comes home, is no stick at rest.
    fn busy(&self, channel: &Channel<U>, advice: AxisAdvice) -> Option<u32> {
        let scale = Scale::of(channel);
        let sweep = self.slowest_sweep?;
        // The narrowest band that holds `engage`, or the widest there is.
        let [mut frames, ..] = sweep.frames;
        for (&inside, band) in sweep.frames.iter().zip(sweep.bands()) {
            if scale.deflection(band) > advice.engage {
                frames = inside;
            }
        }
        // Two more: a sweep may begin and end between two frames; and it is held only when it is confirmed.
        let sweep = u32::from(frames).saturating_add(1).saturating_add(advice.confirm.into());
        let over = scale.deflection(u64::from(self.overshoot) << 8) > advice.release;
        Some(sweep.saturating_add(if over { u32::from(self.ring) } else { 0 }))
    }
}
