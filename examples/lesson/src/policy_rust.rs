//! A policy as Rust text, a module for firmware: checked again by the compiler there.

use std::fmt;

use handback::{AxisRule, AxisSet, Deflection, Duration, Policy, Rest, Scope, Transfer};

use crate::caution;
use crate::trace::Points;

/// A policy, and the names of its axes for comments.
pub(crate) struct RustPolicy<'a, const N: usize> {
    pub(crate) policy: &'a Policy<N>,
    pub(crate) names: &'a [String],
}

impl<const N: usize> fmt::Display for RustPolicy<'_, N> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (policy, caution) = (self.policy, caution::comments("//"));
        write!(
            f,
            "\
// A takeover policy, printed by `lesson policy --rust`. Save it as a module of its own, such as policy.rs: it has its own
// `use`. The compiler checks it once more; that it passes its check does not make it right for a craft.
{caution}
use handback::{{
    AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer,
}};

/// The policy, checked when it is compiled.
pub static POLICY: CheckedPolicy<{N}> = match SETTINGS.check() {{
    Ok(policy) => policy,
    Err(why) => panic!(\"{{}}\", why.message().as_str()),
}};

const SETTINGS: Policy<{N}> = Policy {{
    axes: [
"
        )?;
        for (number, (rule, name)) in policy.axes.iter().zip(self.names).enumerate() {
            writeln!(f, "        // {number}: {name}")?;
            write!(f, "{}", RustRule(rule))?;
        }
        writeln!(f, "    ],")?;
        writeln!(f, "    watched: {},", RustSet(policy.watched))?;
        writeln!(f, "    shared: {},", RustSet(policy.shared))?;
        let scope = match policy.scope {
            Scope::Craft => "Craft",
            Scope::Axis => "Axis",
        };
        writeln!(f, "    scope: Scope::{scope},")?;
        writeln!(f, "    plausible: {},", RustDeflection(policy.plausible))?;
        for (field, duration) in [
            ("settle", policy.settle),
            ("dwell", policy.dwell),
            ("fade", policy.fade),
            ("pickup_max", policy.pickup_max),
            ("timeout", policy.timeout),
            ("requalify", policy.requalify),
            ("failsafe_after", policy.failsafe_after),
            ("late_step", policy.late_step),
        ] {
            writeln!(f, "    {field}: {},", RustDuration(duration))?;
        }
        writeln!(f, "    off_first_after_loss: {},", policy.off_first_after_loss)?;
        let lasted = RustOption(policy.latches.lasted.map(RustDuration));
        let beyond = RustOption(policy.latches.beyond.map(RustDeflection));
        writeln!(f, "    latches: Latches {{ lasted: {lasted}, beyond: {beyond} }},")?;
        writeln!(f, "}};")
    }
}

struct RustRule<'a>(&'a AxisRule);

impl fmt::Display for RustRule<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let rule = self.0;
        let transfer = match rule.transfer {
            Transfer::Snap => "Snap",
            Transfer::Pickup => "Pickup",
        };
        writeln!(f, "        AxisRule {{")?;
        writeln!(f, "            engage: {},", RustDeflection(rule.engage))?;
        writeln!(f, "            release: {},", RustDeflection(rule.release))?;
        writeln!(f, "            confirm: {},", rule.confirm)?;
        match rule.rest {
            Rest::At(rest) => writeln!(f, "            rest: Rest::At({}),", RustDeflection(rest))?,
            Rest::WhereLeft { still } => {
                writeln!(f, "            rest: Rest::WhereLeft {{ still: {} }},", RustDuration(still))?;
            }
        }
        writeln!(f, "            transfer: Transfer::{transfer},")?;
        writeln!(f, "            keep: {},", rule.keep)?;
        writeln!(f, "            window: {},", RustOption(rule.window.map(RustDeflection)))?;
        writeln!(f, "            failsafe: {},", RustDeflection(rule.failsafe))?;
        writeln!(f, "        }},")
    }
}

/// In points where that gives the very bits, else in bits, with the points for whoever reads them.
struct RustDeflection(Deflection);

impl fmt::Display for RustDeflection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let bits = self.0.to_bits();
        #[allow(clippy::cast_possible_truncation)] // the range of a deflection is -20000 to 20000 hundredths
        let centipoints = (f64::from(bits) * 10_000.0 / 16_384.0).round() as i32;
        if Deflection::from_centipoints(centipoints) != self.0 {
            write!(f, "Deflection::from_bits({bits} /* {} points */)", Points(self.0))
        } else if centipoints % 100 == 0 {
            write!(f, "Deflection::from_points({})", centipoints / 100)
        } else {
            write!(f, "Deflection::from_centipoints({centipoints})")
        }
    }
}

struct RustDuration(Duration);

impl fmt::Display for RustDuration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0.as_ticks() {
            us if us % 1000 == 0 => write!(f, "Duration::from_millis({})", us / 1000),
            us => write!(f, "Duration::from_micros({us})"),
        }
    }
}

struct RustSet(AxisSet);

impl fmt::Display for RustSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.0.is_empty() {
            return f.write_str("AxisSet::EMPTY");
        }
        let axes = self.0.iter().map(|axis| axis.to_string()).collect::<Vec<_>>();
        write!(f, "AxisSet::of(&[{}])", axes.join(", "))
    }
}

struct RustOption<T>(Option<T>);

impl<T: fmt::Display> fmt::Display for RustOption<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Some(value) => write!(f, "Some({value})"),
            None => f.write_str("None"),
        }
    }
}
