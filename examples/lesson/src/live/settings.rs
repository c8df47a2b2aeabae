//! The policy as a list of values that a person can change, from the table of its fields.

use handback::{Policy, Rest};

use crate::policy::Millis;
use crate::policy::fields::{AXIS, Choice, Field, Kind, LATCHES, STILL, WHERE_LEFT, whole};
use crate::trace::Points;

/// The word for a rest that is no [`WHERE_LEFT`]; a file has the key `rest_points` instead.
pub(super) const FIXED: &str = "fixed";
/// The key of a fixed rest.
pub(super) const REST_POINTS: &str = "rest_points";

/// One value of a policy.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Its key in a policy file.
    pub key: &'static str,
    /// The name of its axis; `None`: it is of the whole craft.
    pub axis: Option<String>,
    /// How it is written.
    pub form: Form,
    /// The value as a policy file has it, without quotes; empty: none.
    pub value: String,
    /// Whether it may be empty.
    pub optional: bool,
    /// The words of a choice.
    pub choices: Vec<&'static str>,
}

/// How a value is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Milliseconds.
    Time,
    /// Hundredths of full travel.
    Points,
    /// A whole number.
    Count,
    /// `true` or `false`.
    Flag,
    /// One of a few words.
    Choice,
}

/// Every value of this policy: those of the whole craft first, then axis by axis.
pub(super) fn of<const N: usize>(policy: &Policy<N>, names: &[String]) -> Vec<Setting> {
    let mut policy = *policy;
    let mut settings = Vec::new();
    add(&mut settings, &whole(), &mut policy, None);
    add(&mut settings, &LATCHES, &mut policy.latches, None);
    for ((number, mut rule), name) in (0_u8..).zip(policy.axes).zip(names) {
        add(&mut settings, &AXIS, &mut rule, Some(name));
        for field in whole() {
            if let Kind::Axes(at) = field.kind {
                let value = at(&mut policy).contains(number).to_string();
                settings.push(setting(field.key, Some(name), Form::Flag, value));
            }
        }
    }
    settings
}

/// Adds the fields of `it` but sets of axes, which are flags of each axis.
fn add<T>(settings: &mut Vec<Setting>, fields: &[Field<T>], it: &mut T, axis: Option<&String>) {
    for Field { key, kind, .. } in fields {
        let (form, value, choices) = match kind {
            Kind::Points(at) => (Form::Points, Points(*at(it)).to_string(), vec![]),
            Kind::MaybePoints(at) => (Form::Points, text(at(it).map(Points)), vec![]),
            Kind::Time(at) => (Form::Time, Millis(*at(it)).to_string(), vec![]),
            Kind::MaybeTime(at) => (Form::Time, text(at(it).map(Millis)), vec![]),
            Kind::Count(at) => (Form::Count, at(it).to_string(), vec![]),
            Kind::Flag(at) => (Form::Flag, at(it).to_string(), vec![]),
            Kind::Scope(at) => (Form::Choice, at(it).word().to_owned(), words_of(at(it))),
            Kind::Transfer(at) => (Form::Choice, at(it).word().to_owned(), words_of(at(it))),
            Kind::Rest(at) => {
                settings.extend(rest(*at(it), axis));
                continue;
            }
            // Sets of axes, and what only a box has.
            _ => continue,
        };
        settings.push(Setting { choices, optional: kind.is_optional(), ..setting(key, axis, form, value) });
    }
}

/// A rest has a word, and a number that depends on it.
fn rest(rest: Rest, axis: Option<&String>) -> [Setting; 3] {
    let (word, at, still) = match rest {
        Rest::At(at) => (FIXED, Some(at), None),
        Rest::WhereLeft { still } => (WHERE_LEFT.1, None, Some(still)),
    };
    let choices = vec![FIXED, WHERE_LEFT.1];
    [
        Setting { choices, ..setting(WHERE_LEFT.0, axis, Form::Choice, word.to_owned()) },
        Setting { optional: true, ..setting(REST_POINTS, axis, Form::Points, text(at.map(Points))) },
        Setting { optional: true, ..setting(STILL.1, axis, Form::Time, text(still.map(Millis))) },
    ]
}

fn setting(key: &'static str, axis: Option<&String>, form: Form, value: String) -> Setting {
    Setting { key, axis: axis.cloned(), form, value, optional: false, choices: vec![] }
}

fn text(value: Option<impl ToString>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

fn words_of<T: Choice>(_: &T) -> Vec<&'static str> {
    T::ALL.iter().map(|choice| choice.word()).collect()
}
