//! A policy as C text, an initialiser for firmware: checked again where the engine is started.

use std::fmt;

use handback::{AxisRule, AxisSet, Deflection, Duration, Policy, Rest, Scope, Transfer};

use crate::caution;
use crate::trace::Points;

/// A policy, and the names of its axes for comments.
pub(crate) struct CPolicy<'a, const N: usize> {
    pub(crate) policy: &'a Policy<N>,
    pub(crate) names: &'a [String],
}

impl<const N: usize> fmt::Display for CPolicy<'_, N> {
    /// Every member is written, in the header's order, which C++ asks for.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (policy, caution) = (self.policy, caution::comments("//"));
        write!(
            f,
            "\
// A takeover policy, printed by `lesson policy --c`. Save it as a header of its own, such as policy.h, and include it
// in the file that starts the engine. To change it, change the policy file and print it again. handback_start checks it
// once more: look at its status. That it passes its check does not make it right for a craft.
{caution}
#include \"handback.h\"

static const handback_policy POLICY = {{
    .size = sizeof(handback_policy),
    .axis_count = {N},
"
        )?;
        let scope = match policy.scope {
            Scope::Craft => "CRAFT",
            Scope::Axis => "AXIS",
        };
        writeln!(f, "    .scope = HANDBACK_SCOPE_{scope},")?;
        writeln!(f, "    .watched = {},", CSet(policy.watched))?;
        writeln!(f, "    .shared = {},", CSet(policy.shared))?;
        writeln!(f, "    .plausible = {}", CDeflection(policy.plausible))?;
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
            writeln!(f, "    .{field} = {}", CDuration(duration))?;
        }
        let latches = policy.latches;
        writeln!(f, "    .off_first_after_loss = {},", u8::from(policy.off_first_after_loss))?;
        writeln!(f, "    .has_lasted = {},", u8::from(latches.lasted.is_some()))?;
        writeln!(f, "    .has_beyond = {},", u8::from(latches.beyond.is_some()))?;
        writeln!(f, "    .lasted = {}", CDuration(latches.lasted.unwrap_or(Duration::from_ticks(0))))?;
        writeln!(f, "    .beyond = {}", CDeflection(latches.beyond.unwrap_or(Deflection::CENTRE)))?;
        writeln!(f, "    .axes = {{")?;
        for (number, (rule, name)) in policy.axes.iter().zip(self.names).enumerate() {
            // In quotes, so that a name that ends with a backslash does not draw the next line into the comment.
            writeln!(f, "        // {number}: \"{name}\"")?;
            write!(f, "{}", CRule(rule))?;
        }
        writeln!(f, "    }},")?;
        writeln!(f, "}};")
    }
}

struct CRule<'a>(&'a AxisRule);

impl fmt::Display for CRule<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let rule = self.0;
        let (kind, rest, still) = match rule.rest {
            Rest::At(rest) => ("AT", rest, Duration::from_ticks(0)),
            Rest::WhereLeft { still } => ("WHERE_LEFT", Deflection::CENTRE, still),
        };
        let transfer = match rule.transfer {
            Transfer::Snap => "SNAP",
            Transfer::Pickup => "PICKUP",
        };
        writeln!(f, "        {{")?;
        writeln!(f, "            .engage = {}", CDeflection(rule.engage))?;
        writeln!(f, "            .release = {}", CDeflection(rule.release))?;
        writeln!(f, "            .confirm = {},", rule.confirm)?;
        writeln!(f, "            .rest_kind = HANDBACK_REST_{kind},")?;
        writeln!(f, "            .rest = {}", CDeflection(rest))?;
        writeln!(f, "            .still = {}", CDuration(still))?;
        writeln!(f, "            .transfer = HANDBACK_TRANSFER_{transfer},")?;
        writeln!(f, "            .keep = {},", u8::from(rule.keep))?;
        writeln!(f, "            .has_window = {},", u8::from(rule.window.is_some()))?;
        writeln!(f, "            .window = {}", CDeflection(rule.window.unwrap_or(Deflection::CENTRE)))?;
        writeln!(f, "            .failsafe = {}", CDeflection(rule.failsafe))?;
        writeln!(f, "        }},")
    }
}

/// In bits, which C takes as they are, with the points for whoever reads them.
struct CDeflection(Deflection);

impl fmt::Display for CDeflection {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, // {} points", self.0.to_bits(), Points(self.0))
    }
}

struct CDuration(Duration);

impl fmt::Display for CDuration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, // us", self.0.as_ticks())
    }
}

/// A bit for every axis.
struct CSet(AxisSet);

impl fmt::Display for CSet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:#06x}", self.0.to_bits())
    }
}
