//! The keys of one axis.

use std::ops::Range;

use handback::{AxisRule, Deflection, Duration, Rest, Transfer};
use serde::Deserialize;
use toml::Spanned;

use super::source::{Number, Source};
use super::value::check_form;
use crate::decisions;
use crate::error::{Fault, quoted};
use crate::names::{LONGEST_NAME, MOST_AXES, is_name};

/// One `[[axis]]`. What is left out keeps the default of its kind.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AxisTable {
    pub(super) name: Spanned<String>,
    kind: Spanned<Kind>,
    engage_points: Option<Number>,
    release_points: Option<Number>,
    confirm: Option<Spanned<u8>>,
    rest: Option<Spanned<RestWord>>,
    rest_points: Option<Number>,
    still_ms: Option<Number>,
    transfer: Option<TransferWord>,
    keep: Option<bool>,
    window_points: Option<Number>,
    failsafe_points: Option<Number>,
    watched: Option<Spanned<bool>>,
    shared: Option<Spanned<bool>>,
}

#[derive(Clone, Copy, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "kebab-case")]
enum Kind {
    Sprung,
    Unsprung,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum RestWord {
    WhereLeft,
}

#[derive(Clone, Copy, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum TransferWord {
    Snap,
    Pickup,
}

/// Common practice, no source; the same as [`AxisRule::unsprung`].
const STILL: Duration = Duration::from_ticks(500_000);

/// Checks how many axes there are and what they are called.
pub(super) fn check_names(source: &Source, axes: &[AxisTable]) -> Result<(), Fault> {
    if axes.is_empty() {
        return Err(source.told("", &(0..0), "no axis: add a table [[axis]] with a name and a kind for each".into()));
    }
    for (number, AxisTable { name, .. }) in axes.iter().enumerate() {
        let value = quoted(name.get_ref().as_bytes());
        let refuse =
            |found: &str, mend: String| Err(source.fault("name", &name.span(), format!("{value} {found}"), mend));
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
    pub(super) fn is_watched(&self) -> bool {
        self.watched.as_ref().is_none_or(|watched| *watched.get_ref())
    }

    pub(super) fn is_shared(&self) -> bool {
        self.shared.as_ref().is_none_or(|shared| *shared.get_ref())
    }

    /// The rule of this axis, not yet checked.
    pub(super) fn rule(&self, source: &Source) -> Result<AxisRule, Fault> {
        let points =
            |key, number: &Option<Number>| number.as_ref().map(|number| source.points(key, number)).transpose();
        let mut rule = match (*self.kind.get_ref(), points("failsafe_points", &self.failsafe_points)?) {
            (Kind::Sprung, failsafe) => AxisRule { failsafe: failsafe.unwrap_or_default(), ..AxisRule::sprung() },
            (Kind::Unsprung, Some(failsafe)) => AxisRule::unsprung(failsafe),
            (Kind::Unsprung, None) => {
                let found =
                    format!("axis {} is unsprung and has no failsafe_points", quoted(self.name.get_ref().as_bytes()));
                let mend =
                    "add failsafe_points, what it outputs when nobody flies: -100 for a throttle that is shut there";
                return Err(source.fault("kind", &self.kind.span(), found, mend));
            }
        };
        if let Some(engage) = points("engage_points", &self.engage_points)? {
            rule.engage = engage;
            rule.release = Deflection::from_bits(engage.to_bits() / 2);
        }
        rule.release = points("release_points", &self.release_points)?.unwrap_or(rule.release);
        if let Some(confirm) = &self.confirm {
            check_form(source, "confirm", &confirm.span(), f64::from(*confirm.get_ref()))?;
            rule.confirm = *confirm.get_ref();
        }
        rule.rest = self.rest(source, rule.rest)?;
        match self.transfer {
            Some(TransferWord::Snap) => rule.transfer = Transfer::Snap,
            Some(TransferWord::Pickup) => rule.transfer = Transfer::Pickup,
            None => {}
        }
        rule.keep = self.keep.unwrap_or(rule.keep);
        rule.window = points("window_points", &self.window_points)?;
        Ok(rule)
    }

    fn rest(&self, source: &Source, default: Rest) -> Result<Rest, Fault> {
        let rest = match (&self.rest, &self.rest_points) {
            (None, None) => default,
            (None, Some(points)) => Rest::At(source.points("rest_points", points)?),
            (Some(_), None) => Rest::WhereLeft { still: STILL },
            (Some(word), Some(_)) => {
                let found = "the axis has both rest and rest_points";
                return Err(source.fault("rest", &word.span(), found, "remove one"));
            }
        };
        match (rest, &self.still_ms) {
            (Rest::WhereLeft { .. }, Some(still)) => Ok(Rest::WhereLeft { still: source.duration("still_ms", still)? }),
            (Rest::At(_), Some(still)) => {
                let found = "the axis rests at a fixed place and has still_ms";
                let mend = "remove still_ms, or say rest = \"where-left\"";
                Err(source.fault("still_ms", &still.span(), found, mend))
            }
            (rest, None) => Ok(rest),
        }
    }

    /// The key of a field of the rule, and where its value is; that of the kind where it is not there.
    pub(super) fn place_of(&self, field: &str) -> (&'static str, Range<usize>) {
        let of = |key, place: Option<Range<usize>>| place.map(|place| (key, place));
        let number = |key, number: &Option<Number>| of(key, number.as_ref().map(Spanned::span));
        let engage = || number("engage_points", &self.engage_points);
        let place = match field {
            "engage" => engage(),
            // A release that nobody wrote follows from the engage.
            "release" => number("release_points", &self.release_points).or_else(engage),
            "confirm" => of("confirm", self.confirm.as_ref().map(Spanned::span)),
            "rest" => number("rest_points", &self.rest_points),
            "still" => number("still_ms", &self.still_ms),
            "window" => number("window_points", &self.window_points),
            "failsafe" => number("failsafe_points", &self.failsafe_points),
            "watched" => of("watched", self.watched.as_ref().map(Spanned::span)),
            "shared" => of("shared", self.shared.as_ref().map(Spanned::span))
                .or_else(|| of("watched", self.watched.as_ref().map(Spanned::span))),
            _ => None,
        };
        place.unwrap_or(("kind", self.kind.span()))
    }
}
