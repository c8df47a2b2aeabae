//! The file as it is written, and the keys that belong to no axis.

use std::ops::Range;

use handback::{Policy, Scope};
use serde::Deserialize;
use toml::Spanned;

use super::axis::AxisTable;
use super::slip;
use super::source::{Number, Source};
use crate::error::Fault;

/// The keys of the file. What is left out keeps the default of [`Policy::new`].
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Document {
    scope: Option<ScopeWord>,
    plausible_points: Option<Number>,
    settle_ms: Option<Number>,
    dwell_ms: Option<Number>,
    fade_ms: Option<Number>,
    pickup_max_ms: Option<Number>,
    timeout_ms: Option<Number>,
    requalify_ms: Option<Number>,
    failsafe_after_ms: Option<Number>,
    late_step_ms: Option<Number>,
    off_first_after_loss: Option<bool>,
    #[serde(default)]
    latches: LatchTable,
    #[serde(default)]
    pub(super) axis: Vec<Spanned<AxisTable>>,
}

#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct LatchTable {
    lasted_ms: Option<Number>,
    beyond_points: Option<Number>,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum ScopeWord {
    Craft,
    Axis,
}

impl Document {
    /// Reads the text; says where it is no policy.
    pub(super) fn parse(source: &Source) -> Result<Self, Fault> {
        toml::from_str(source.text()).map_err(|why| slip::fault(source, &why))
    }

    /// Sets what the file says.
    pub(super) fn apply<const N: usize>(&self, source: &Source, policy: &mut Policy<N>) -> Result<(), Fault> {
        match self.scope {
            Some(ScopeWord::Craft) => policy.scope = Scope::Craft,
            Some(ScopeWord::Axis) => policy.scope = Scope::Axis,
            None => {}
        }
        policy.off_first_after_loss = self.off_first_after_loss.unwrap_or(policy.off_first_after_loss);
        for (key, number, field) in [
            ("settle_ms", &self.settle_ms, &mut policy.settle),
            ("dwell_ms", &self.dwell_ms, &mut policy.dwell),
            ("fade_ms", &self.fade_ms, &mut policy.fade),
            ("pickup_max_ms", &self.pickup_max_ms, &mut policy.pickup_max),
            ("timeout_ms", &self.timeout_ms, &mut policy.timeout),
            ("requalify_ms", &self.requalify_ms, &mut policy.requalify),
            ("failsafe_after_ms", &self.failsafe_after_ms, &mut policy.failsafe_after),
            ("late_step_ms", &self.late_step_ms, &mut policy.late_step),
        ] {
            if let Some(number) = number {
                *field = source.duration(key, number)?;
            }
        }
        if let Some(number) = &self.plausible_points {
            policy.plausible = source.points("plausible_points", number)?;
        }
        if let Some(number) = &self.latches.lasted_ms {
            policy.latches.lasted = Some(source.duration("lasted_ms", number)?);
        }
        if let Some(number) = &self.latches.beyond_points {
            policy.latches.beyond = Some(source.points("beyond_points", number)?);
        }
        Ok(())
    }

    /// The key of a field of the policy, and where its value is; the start of the file where it is not there.
    pub(super) fn place_of(&self, field: &str) -> (&'static str, Range<usize>) {
        let (key, number) = match field {
            "plausible" => ("plausible_points", &self.plausible_points),
            "beyond" => ("beyond_points", &self.latches.beyond_points),
            "lasted" => ("lasted_ms", &self.latches.lasted_ms),
            "settle" => ("settle_ms", &self.settle_ms),
            "dwell" => ("dwell_ms", &self.dwell_ms),
            "fade" => ("fade_ms", &self.fade_ms),
            "pickup_max" => ("pickup_max_ms", &self.pickup_max_ms),
            "timeout" => ("timeout_ms", &self.timeout_ms),
            "requalify" => ("requalify_ms", &self.requalify_ms),
            "late_step" => ("late_step_ms", &self.late_step_ms),
            // Its default is too short only for a timeout that somebody wrote.
            "failsafe_after" if self.failsafe_after_ms.is_none() => ("timeout_ms", &self.timeout_ms),
            "failsafe_after" => ("failsafe_after_ms", &self.failsafe_after_ms),
            _ => ("", &None),
        };
        (key, number.as_ref().map(Spanned::span).unwrap_or_default())
    }
}
