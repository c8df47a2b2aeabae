//! One axis of the file: its name, its kind and its rule.

use std::ops::Range;

use handback::{AxisRule, Deflection, PolicyError};
use toml::Spanned;

use super::entries::Entries;
use super::source::Source;
use super::value::{self, Value};
use super::wrong;
use crate::decisions;
use crate::error::{Fault, quoted};
use crate::names::{LONGEST_NAME, MOST_AXES, is_name};
use crate::policy::fields::{AXIS, Choice};

/// One `[[axis]]`. What is left out keeps the default of its kind.
pub(super) struct AxisTable {
    pub(super) name: Spanned<String>,
    kind: Spanned<Stick>,
    entries: Entries,
    /// The channels of a box, in the order of [`Side::ALL`](crate::policy::wiring::Side::ALL).
    pub(super) sides: [Option<Entries>; 3],
}

#[derive(Clone, Copy, Debug)]
pub(super) enum Stick {
    Sprung,
    Unsprung,
}

impl Choice for Stick {
    const ALL: &'static [Self] = &[Self::Sprung, Self::Unsprung];
    fn word(self) -> &'static str {
        match self {
            Self::Sprung => "sprung",
            Self::Unsprung => "unsprung",
        }
    }
}

/// Checks how many axes there are and what they are called.
pub(super) fn check_names(source: &Source, axes: &[AxisTable]) -> Result<(), Fault> {
    if axes.is_empty() {
        return Err(source.told("", &(0..0), "no axis: add a table [[axis]] with a name and a kind for each".into()));
    }
    for (number, AxisTable { name, .. }) in axes.iter().enumerate() {
        let value = quoted(name.get_ref().as_bytes());
        let refuse =
            |found: &str, remedy: String| Err(source.fault("name", &name.span(), format!("{value} {found}"), remedy));
        if number >= MOST_AXES {
            return refuse("is axis 17", format!("keep to {MOST_AXES} axes or fewer"));
        }
        if !is_name(name.get_ref()) {
            return refuse("names no axis", format!("write 1 to {LONGEST_NAME} printable characters, no comma"));
        }
        if decisions::COLUMNS.contains(&name.get_ref().as_str()) {
            return refuse("is the name of a column of the decisions", "call the axis something else".into());
        }
        if axes[..number].iter().any(|other| other.name.get_ref() == name.get_ref()) {
            return refuse("names an axis above too", "give each axis a name of its own".into());
        }
    }
    Ok(())
}

impl AxisTable {
    pub(super) fn new(source: &Source, entries: Entries, sides: [Option<Entries>; 3]) -> Result<Self, Fault> {
        let needed = |key, remedy| {
            entries.get(key).ok_or_else(|| {
                source.fault(source.key_at(entries.place()), entries.place(), format!("missing field `{key}`"), remedy)
            })
        };
        let name = needed("name", "add name = and the name of the axis in quotes")?;
        let Value::Text(text) = name.get_ref() else { return Err(wrong::value(source, "name", &name.span())) };
        let name = Spanned::new(name.span(), text.clone());
        let kind = needed("kind", "add kind = \"sprung\" or kind = \"unsprung\"")?;
        let kind = Spanned::new(kind.span(), value::choice(source, "kind", kind)?);
        Ok(Self { name, kind, entries, sides })
    }

    /// Whether a flag of this axis is set; one that is left out is.
    pub(super) fn is(&self, source: &Source, key: &str) -> Result<bool, Fault> {
        self.entries.get(key).map_or(Ok(true), |value| value::flag(source, key, value))
    }

    /// The rule of this axis, not yet checked.
    pub(super) fn rule(&self, source: &Source) -> Result<AxisRule, Fault> {
        let mut rule = match (*self.kind.get_ref(), self.entries.points(source, "failsafe_points")?) {
            (Stick::Sprung, _) => AxisRule::sprung(),
            (Stick::Unsprung, Some(failsafe)) => AxisRule::unsprung(failsafe),
            (Stick::Unsprung, None) => {
                let found =
                    format!("axis {} is unsprung and has no failsafe_points", quoted(self.name.get_ref().as_bytes()));
                let remedy =
                    "add failsafe_points, what it outputs when nobody flies: -100 for a throttle that is shut there";
                return Err(source.fault("kind", &self.kind.span(), found, remedy));
            }
        };
        if let Some(engage) = self.entries.points(source, "engage_points")? {
            rule.release = Deflection::from_bits(engage.to_bits() / 2);
        }
        self.entries.apply(source, &AXIS, &mut rule)?;
        Ok(rule)
    }

    /// The key that an error of this axis is about, and the place of its value; the kind where that is left out.
    pub(super) fn place_of(&self, why: &PolicyError) -> (&'static str, Range<usize>) {
        self.entries.place_of(why.field()).unwrap_or(("kind", self.kind.span()))
    }
}
