//! The keys that are written in one table of the file.

use std::collections::BTreeMap;
use std::ops::Range;

use handback::cue::Phrase;
use handback::{Deflection, Duration, Rest};
use toml::Spanned;
use toml::de::DeTable;

use super::source::Source;
use super::value::{self, Value};
use crate::error::Fault;
use crate::policy::fields::{DEPENDS, Field, Kind, PHRASE_LASTS, STILL, WHERE_LEFT, key_of};

/// Common practice, no source; the same as [`AxisRule::unsprung`](handback::AxisRule::unsprung).
const DEFAULT_STILL: Duration = Duration::from_millis(500);

/// The keys of one table, their values and their places.
#[derive(Default)]
pub(super) struct Entries {
    values: BTreeMap<String, Spanned<Value>>,
    place: Range<usize>,
}

impl Entries {
    pub(super) fn new(table: DeTable<'_>, place: Range<usize>) -> Self {
        let values = table.into_iter().map(|(key, value)| {
            let place = value.span();
            (key.into_inner().into_owned(), Spanned::new(place, Value::from(value.into_inner())))
        });
        Self { values: values.collect(), place }
    }

    /// Where the table is.
    pub(super) fn place(&self) -> &Range<usize> {
        &self.place
    }

    pub(super) fn get(&self, key: &str) -> Option<&Spanned<Value>> {
        self.values.get(key)
    }

    /// Sets the fields of `it` that are written here. Sets of axes are left to the caller.
    pub(super) fn apply<T>(&self, source: &Source, fields: &[Field<T>], it: &mut T) -> Result<(), Fault> {
        for Field { key, kind, .. } in fields {
            if let Kind::Rest(at) = kind {
                let rest = at(it);
                *rest = self.rest(source, key, *rest)?;
            }
            if let Kind::Phrase(at) = kind {
                *at(it) = self.phrase(source, key)?;
            }
            let Some(value) = self.get(key) else { continue };
            match kind {
                Kind::Points(at) | Kind::Percent(at) => *at(it) = value::points(source, key, value)?,
                Kind::MaybePoints(at) => *at(it) = Some(value::points(source, key, value)?),
                Kind::Time(at) => *at(it) = value::duration(source, key, value)?,
                Kind::MaybeTime(at) => *at(it) = Some(value::duration(source, key, value)?),
                Kind::Count(at) | Kind::Number(at) => *at(it) = value::count(source, key, value)?,
                Kind::Flag(at) => *at(it) = value::flag(source, key, value)?,
                Kind::Scope(at) => *at(it) = value::choice(source, key, value)?,
                Kind::Transfer(at) => *at(it) = value::choice(source, key, value)?,
                Kind::Micros(at) => *at(it) = value::micros(source, key, value)?,
                Kind::Pulse(at) => *at(it) = value::pulse(source, key, value)?,
                Kind::MaybeCount(at) => *at(it) = Some(value::count(source, key, value)?),
                Kind::Level(at) => *at(it) = value::choice(source, key, value)?,
                Kind::Rhythm(at) => *at(it) = value::rhythm(source, key, value)?,
                Kind::Rest(_) | Kind::Axes(_) | Kind::Phrase(_) => {}
            }
        }
        Ok(())
    }

    /// The points at this key, if it is written.
    pub(super) fn points(&self, source: &Source, key: &str) -> Result<Option<Deflection>, Fault> {
        self.get(key).map(|value| value::points(source, key, value)).transpose()
    }

    /// A phrase needs its length, since a cue is not over before its phrase is.
    fn phrase(&self, source: &Source, key: &str) -> Result<Option<Phrase>, Fault> {
        let (_, lasts_key) = PHRASE_LASTS;
        match (self.get(key), self.get(lasts_key)) {
            (None, None) => Ok(None),
            (Some(slot), Some(lasts)) => {
                let slot = value::count(source, key, slot)?;
                Ok(Some(Phrase { slot, lasts: value::duration(source, lasts_key, lasts)? }))
            }
            (Some(slot), None) => {
                let remedy = format!("add {lasts_key}, how long the phrase lasts in milliseconds");
                Err(source.fault(key, &slot.span(), format!("the cue has {key} and no {lasts_key}"), remedy))
            }
            (None, Some(lasts)) => {
                let remedy = format!("add {key}, the number of the phrase in the voice module, or remove {lasts_key}");
                Err(source.fault(lasts_key, &lasts.span(), format!("the cue has {lasts_key} and no {key}"), remedy))
            }
        }
    }

    /// The place of this key's value; the place of the table where the key is left out.
    pub(super) fn place_or_table(&self, key: &str) -> Range<usize> {
        self.get(key).map_or_else(|| self.place.clone(), Spanned::span)
    }

    fn rest(&self, source: &Source, key: &str, default: Rest) -> Result<Rest, Fault> {
        let (word_key, word) = WHERE_LEFT;
        let (_, still_key) = STILL;
        let rest = match (self.get(word_key), self.points(source, key)?) {
            (None, None) => default,
            (None, Some(rest)) => Rest::At(rest),
            (Some(value), None) => {
                value::word(source, word_key, value, &[word])?;
                Rest::WhereLeft { still: DEFAULT_STILL }
            }
            (Some(value), Some(_)) => {
                let found = format!("the axis has both {word_key} and {key}");
                return Err(source.fault(word_key, &value.span(), found, "remove one"));
            }
        };
        match (rest, self.get(still_key)) {
            (Rest::WhereLeft { .. }, Some(still)) => {
                Ok(Rest::WhereLeft { still: value::duration(source, still_key, still)? })
            }
            (Rest::At(_), Some(still)) => {
                let found = format!("the axis rests at a fixed place and has {still_key}");
                let remedy = format!("remove {still_key}, or say {word_key} = \"{word}\"");
                Err(source.fault(still_key, &still.span(), found, remedy))
            }
            (rest, None) => Ok(rest),
        }
    }

    /// The key of a field by its name, and the place of its value; where it is left out, those of the field that its
    /// default depends on.
    pub(super) fn place_of(&self, name: &str) -> Option<(&'static str, Range<usize>)> {
        let key = key_of(name)?;
        if let Some(value) = self.get(key) {
            return Some((key, value.span()));
        }
        let (_, other) = DEPENDS.into_iter().find(|(dependent, _)| *dependent == name)?;
        self.place_of(other)
    }
}
