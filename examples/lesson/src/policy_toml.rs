//! A policy as a TOML file that reads back as the same policy: for a lesson that is to be flown again as it was.

use std::fmt::{self, Display};

use handback::{AxisRule, Duration, Policy, Rest, Scope, Transfer};

use crate::caution;
use crate::trace::Points;

/// A policy, and the names of its axes.
pub(crate) struct TomlPolicy<'a, const N: usize> {
    pub(crate) policy: &'a Policy<N>,
    pub(crate) names: &'a [String],
}

impl<const N: usize> Display for TomlPolicy<'_, N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let policy = self.policy;
        writeln!(f, "# The policy of a lesson. `lesson policy` prints one in which every key is explained.")?;
        writeln!(f, "{}", caution::comments("#"))?;
        let scope = match policy.scope {
            Scope::Craft => "craft",
            Scope::Axis => "axis",
        };
        writeln!(f, "scope = \"{scope}\"")?;
        writeln!(f, "plausible_points = {}", Points(policy.plausible))?;
        for (key, duration) in [
            ("settle_ms", policy.settle),
            ("dwell_ms", policy.dwell),
            ("fade_ms", policy.fade),
            ("pickup_max_ms", policy.pickup_max),
            ("timeout_ms", policy.timeout),
            ("requalify_ms", policy.requalify),
            ("failsafe_after_ms", policy.failsafe_after),
            ("late_step_ms", policy.late_step),
        ] {
            writeln!(f, "{key} = {}", Millis(duration))?;
        }
        writeln!(f, "off_first_after_loss = {}", policy.off_first_after_loss)?;
        writeln!(f, "\n[latches]")?;
        optional(f, "lasted_ms", policy.latches.lasted.map(Millis))?;
        optional(f, "beyond_points", policy.latches.beyond.map(Points))?;
        for ((axis, rule), name) in (0_u8..).zip(&policy.axes).zip(self.names) {
            writeln!(f, "\n[[axis]]")?;
            // A name may hold whatever a header may: the library quotes it.
            writeln!(f, "name = {}", toml::Value::String(name.clone()))?;
            write_rule(f, rule)?;
            writeln!(f, "watched = {}", policy.watched.contains(axis))?;
            writeln!(f, "shared = {}", policy.shared.contains(axis))?;
        }
        Ok(())
    }
}

fn write_rule(f: &mut fmt::Formatter<'_>, rule: &AxisRule) -> fmt::Result {
    // Every key is written, so that the kind only tells the reader what the stick is like.
    let (kind, transfer) = match rule.transfer {
        Transfer::Snap => ("sprung", "snap"),
        Transfer::Pickup => ("unsprung", "pickup"),
    };
    writeln!(f, "kind = \"{kind}\"")?;
    writeln!(f, "engage_points = {}", Points(rule.engage))?;
    writeln!(f, "release_points = {}", Points(rule.release))?;
    writeln!(f, "confirm = {}", rule.confirm)?;
    match rule.rest {
        // An unsprung axis would rest where it was left, if it did not say otherwise.
        Rest::At(rest) => writeln!(f, "rest_points = {}", Points(rest))?,
        Rest::WhereLeft { still } => writeln!(f, "rest = \"where-left\"\nstill_ms = {}", Millis(still))?,
    }
    writeln!(f, "transfer = \"{transfer}\"")?;
    writeln!(f, "keep = {}", rule.keep)?;
    optional(f, "window_points", rule.window.map(Points))?;
    writeln!(f, "failsafe_points = {}", Points(rule.failsafe))
}

fn optional(f: &mut fmt::Formatter<'_>, key: &str, value: Option<impl Display>) -> fmt::Result {
    value.map_or(Ok(()), |value| writeln!(f, "{key} = {value}"))
}

/// Microseconds as milliseconds, to the last one.
pub(crate) struct Millis(pub(crate) Duration);

impl Display for Millis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let us = self.0.as_ticks();
        let text = format!("{}.{:03}", us / 1_000, us % 1_000);
        f.write_str(text.trim_end_matches('0').trim_end_matches('.'))
    }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use handback::{AxisSet, Deflection, Latches};
    use proptest::prelude::*;

    use super::*;
    use crate::policy_file::PolicyFile;

    fn policy() -> impl Strategy<Value = Policy<3>> {
        let duration = || prop_oneof![0..3_000_000_u32, Just(1), Just(1 << 31)].prop_map(Duration::from_ticks);
        let bits = |range: std::ops::RangeInclusive<i16>| range.prop_map(Deflection::from_bits);
        let rest = prop_oneof![
            bits(-16_384..=16_384).prop_map(Rest::At),
            duration().prop_map(|still| Rest::WhereLeft { still })
        ];
        let transfer = prop_oneof![Just(Transfer::Snap), Just(Transfer::Pickup)];
        let window = proptest::option::of(bits(0..=i16::MAX));
        let rule = (bits(2..=16_383), 1_u8.., rest, transfer, any::<bool>(), window, bits(-16_384..=16_384)).prop_map(
            |(engage, confirm, rest, transfer, keep, window, failsafe)| AxisRule {
                engage,
                release: Deflection::from_bits(engage.to_bits() - 2),
                confirm,
                rest,
                transfer,
                keep,
                window,
                failsafe,
            },
        );
        let times = proptest::array::uniform6(duration());
        let latches = (proptest::option::of(duration()), proptest::option::of(bits(0..=16_383)));
        let scope = prop_oneof![Just(Scope::Craft), Just(Scope::Axis)];
        let whole = (1_u16..8, 0_u16..8, scope, bits(16_384..=i16::MAX), any::<bool>());
        (proptest::array::uniform3(rule), times, latches, whole).prop_map(|(axes, times, latches, whole)| {
            let [settle, dwell, fade, pickup_max, requalify, late_step] = times;
            let (watched, shared, scope, plausible, off_first_after_loss) = whole;
            let watched = AxisSet::from_bits(watched);
            Policy {
                watched,
                shared: AxisSet::from_bits(shared) & watched,
                scope,
                plausible,
                off_first_after_loss,
                settle: settle.max(Duration::from_ticks(1)),
                dwell,
                fade,
                pickup_max,
                requalify,
                late_step: Duration::from_ticks(late_step.as_ticks().max(1)),
                latches: Latches { lasted: latches.0, beyond: latches.1 },
                ..Policy::new(axes)
            }
        })
    }

    proptest! {
        #[test]
        fn a_policy_that_was_written_reads_back_bit_for_bit(policy in policy()) {
            let names = ["aileron", "a \"quoted\" one", "#3"].map(str::to_owned);
            let text = TomlPolicy { policy: &policy, names: &names }.to_string();
            let file = PolicyFile::parse(Path::new("p.toml"), text.clone());
            let read = file.and_then(|file| file.check::<3>()).map_err(|why| TestCaseError::fail(format!("{why}\n{text}")))?;
            prop_assert_eq!(read.policy(), &policy, "{}", text);
        }
    }
}
