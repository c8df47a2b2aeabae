//! A policy as C text, an initialiser for firmware: checked again where the engine is started.

use std::fmt;

use handback::{AxisSet, Deflection, Duration, Policy, Rest};

use super::fields::{AXIS, Choice, Field, Kind, LATCHES, whole};
use crate::caution;
use crate::trace::Points;

/// A policy, and the names of its axes for comments.
pub(crate) struct CPolicy<'a, const N: usize> {
    pub(crate) policy: &'a Policy<N>,
    pub(crate) names: &'a [String],
    /// Whether a box is left out, for a comment.
    pub(crate) is_box: bool,
}

impl<const N: usize> fmt::Display for CPolicy<'_, N> {
    /// Every member is written, in the header's order, which C++ asks for.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (mut policy, caution) = (*self.policy, caution::comments("//"));
        let of_box = if self.is_box { OF_BOX } else { "" };
        write!(
            f,
            "\
// A takeover policy, printed by `lesson policy --c`. Save it as a header of its own, such as policy.h, and include it
// in the file that starts the engine. To change it, change the policy file and print it again. handback_start checks it
// once more: look at its status. That it passes its check does not make it right for a craft.
{of_box}{caution}
#include \"handback.h\"

static const handback_policy POLICY = {{
    .size = sizeof(handback_policy),
    .axis_count = {N},
"
        )?;
        write_members(f, "    ", &whole(), &mut policy)?;
        write_members(f, "    ", &LATCHES, &mut policy.latches)?;
        writeln!(f, "    .axes = {{")?;
        for (number, (rule, name)) in policy.axes.iter_mut().zip(self.names).enumerate() {
            // In quotes, so that a name that ends with a backslash does not draw the next line into the comment.
            writeln!(f, "        // {number}: \"{name}\"")?;
            writeln!(f, "        {{")?;
            write_members(f, "            ", &AXIS, rule)?;
            writeln!(f, "        }},")?;
        }
        writeln!(f, "    }},")?;
        writeln!(f, "}};")
    }
}

const OF_BOX: &str = "\
// The file is that of a box. This is its policy alone: channels, pulse trains and cues have no interface for C.
";

/// Writes the members of `it`. Of adjacent optional fields the flags come first, then the values.
fn write_members<T>(f: &mut fmt::Formatter<'_>, indent: &str, fields: &[Field<T>], it: &mut T) -> fmt::Result {
    for fields in fields.chunk_by(|a, b| a.kind.is_optional() == b.kind.is_optional()) {
        for Field { name, kind, .. } in fields {
            let has = match kind {
                Kind::MaybePoints(at) => at(it).is_some(),
                Kind::MaybeTime(at) => at(it).is_some(),
                _ => continue,
            };
            writeln!(f, "{indent}.has_{name} = {},", u8::from(has))?;
        }
        for Field { name, kind, .. } in fields {
            match kind {
                Kind::Points(at) => writeln!(f, "{indent}.{name} = {}", CDeflection(*at(it)))?,
                Kind::MaybePoints(at) => {
                    writeln!(f, "{indent}.{name} = {}", CDeflection(at(it).unwrap_or_default()))?;
                }
                Kind::Time(at) => writeln!(f, "{indent}.{name} = {}", CDuration(*at(it)))?,
                Kind::MaybeTime(at) => writeln!(f, "{indent}.{name} = {}", CDuration(at(it).unwrap_or(NO_TIME)))?,
                Kind::Count(at) => writeln!(f, "{indent}.{name} = {},", at(it))?,
                Kind::Flag(at) => writeln!(f, "{indent}.{name} = {},", u8::from(*at(it)))?,
                Kind::Axes(at) => writeln!(f, "{indent}.{name} = {},", CSet(*at(it)))?,
                Kind::Scope(at) => writeln!(f, "{indent}.{name} = HANDBACK_SCOPE_{},", CWord(*at(it)))?,
                Kind::Transfer(at) => writeln!(f, "{indent}.{name} = HANDBACK_TRANSFER_{},", CWord(*at(it)))?,
                Kind::Rest(at) => {
                    let (kind, rest, still) = match *at(it) {
                        Rest::At(rest) => ("AT", rest, NO_TIME),
                        Rest::WhereLeft { still } => ("WHERE_LEFT", Deflection::CENTRE, still),
                    };
                    writeln!(f, "{indent}.rest_kind = HANDBACK_REST_{kind},")?;
                    writeln!(f, "{indent}.rest = {}", CDeflection(rest))?;
                    writeln!(f, "{indent}.still = {}", CDuration(still))?;
                }
                // The interface for C has no box.
                Kind::Micros(_)
                | Kind::Pulse(_)
                | Kind::Percent(_)
                | Kind::Number(_)
                | Kind::MaybeCount(_)
                | Kind::Level(_)
                | Kind::Rhythm(_)
                | Kind::Phrase(_) => {}
            }
        }
    }
    Ok(())
}

const NO_TIME: Duration = Duration::from_ticks(0);

/// The end of the name of a constant.
struct CWord<T>(T);

impl<T: Choice> fmt::Display for CWord<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.word().to_uppercase())
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
