//! The tuned policy: the policy before tuning, with the recommended thresholds, rests and dwell.

use std::fmt::{self, Display};

use handback::{Duration, Policy};

use super::study::Thresholds;
use super::words::strayed;
use super::{Tuning, tuned_rule};
use crate::policy::{BoxPlan, TomlPolicy};

/// A policy whose every watched axis holds the target.
pub(crate) struct Tuned<const N: usize> {
    pub(crate) policy: Policy<N>,
    /// Whether the dwell is that of the sweeps; else it is the one that was there.
    pub(super) dwell_tuned: bool,
}

impl<const N: usize> Tuned<N> {
    /// Where every watched axis has thresholds.
    pub(crate) fn of(base: &Policy<N>, tuning: &Tuning) -> Option<Self> {
        let mut policy = *base;
        for (rule, study) in policy.axes.iter_mut().zip(&tuning.axes) {
            *rule = tuned_rule(*rule, study)?;
        }
        let dwell = tuning.dwell();
        // A stick that was not swept may be slower, so the dwell does not become shorter.
        let least = if tuning.all_swept() { None } else { Some(policy.dwell) };
        let dwell = dwell.filter(|&dwell| least.is_none_or(|least| dwell > least));
        policy.dwell = dwell.unwrap_or(policy.dwell);
        Some(Self { policy, dwell_tuned: dwell.is_some() })
    }

    /// The file.
    pub(crate) fn toml<'a>(
        policy: &'a Policy<N>,
        names: &'a [String],
        around: Option<&'a BoxPlan<N>>,
        tuning: &'a Tuning,
    ) -> impl Display + 'a {
        TunedToml { toml: TomlPolicy { policy, names, around }, tuning }
    }
}

impl Tuning {
    /// Whether every watched sprung stick was swept.
    pub(super) fn all_swept(&self) -> bool {
        let mut sprung = self.axes.iter().filter(|study| study.is_watched() && study.sprung);
        sprung.all(|study| study.swept.as_ref().is_some_and(|swept| swept.sweeps > 0))
    }

    /// The longest dwell that an axis with thresholds needs (`Swept::busy`), in whole milliseconds, rounded up. `None`
    /// where no axis with thresholds was swept.
    pub(super) fn dwell(&self) -> Option<Duration> {
        let busy = self.axes.iter().filter_map(|study| {
            let thresholds = study.thresholds()?;
            let [engage, release] = [thresholds.engage, thresholds.release].map(super::study::in_points);
            let swept = study.swept.as_ref()?;
            let frames = swept.busy(engage, release, thresholds.confirm)?;
            Some(f64::from(u32::try_from(frames).unwrap_or(u32::MAX)) * swept.frame_s)
        });
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // it saturates
        let ms = (busy.max_by(f64::total_cmp)? * 1000.0 - 1e-6).ceil() as u32;
        Some(Duration::from_ticks(ms.saturating_mul(1000)))
    }
}

struct TunedToml<'a, const N: usize> {
    toml: TomlPolicy<'a, N>,
    tuning: &'a Tuning,
}

impl<const N: usize> Display for TunedToml<'_, N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Tuning { lasted_s, pace, hours_apart, .. } = self.tuning;
        let frame_ms = pace.frame_s * 1000.0;
        writeln!(
            f,
            "# Thresholds for one takeover by noise in {hours_apart} hours of flying, at {frame_ms:.1} ms from frame to"
        )?;
        writeln!(f, "# frame, from a rest of {lasted_s:.0} s. They hold only where a lesson is like that rest.")?;
        for study in &self.tuning.axes {
            if let Some(Thresholds { doubt: Some(_), confirm, .. }) = study.thresholds() {
                let (name, strayed) = (&study.name, strayed(confirm));
                writeln!(f, "# {name}: a margin, at least twice as far as it {strayed}; no rate is claimed.")?;
            }
        }
        write!(f, "{}", self.toml)
    }
}
