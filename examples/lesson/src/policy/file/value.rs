//! One value of the file, read as the kind of its field.

use handback::cue::Rhythm;
use handback::{Deflection, Duration, Pulse};
use toml::Spanned;
use toml::de::DeValue;

use super::form::{self, Form};
use super::source::Source;
use super::wrong;
use crate::error::{Fault, quoted, shown};
use crate::near::nearest;
use crate::number;
use crate::policy::fields::Choice;

/// A value as TOML knows it.
pub(super) enum Value {
    Text(String),
    Whole(i64),
    Real(f64),
    Flag(bool),
    /// A list of whole numbers that are not negative.
    List(Vec<i64>),
    /// A number that is too large, a date, another list or a table: no key has one.
    Other,
}

impl From<DeValue<'_>> for Value {
    fn from(value: DeValue<'_>) -> Self {
        match value {
            DeValue::String(text) => Self::Text(text.into_owned()),
            DeValue::Boolean(flag) => Self::Flag(flag),
            DeValue::Integer(digits) => {
                i64::from_str_radix(digits.as_str(), digits.radix()).map_or(Self::Other, Self::Whole)
            }
            DeValue::Float(digits) => match digits.as_str().parse::<f64>() {
                // TOML has a word for it; a number in digits is too large.
                Ok(number) if number.is_infinite() && !digits.as_str().contains("inf") => Self::Other,
                number => number.map_or(Self::Other, Self::Real),
            },
            DeValue::Array(values) => {
                let numbers = values.into_iter().map(|value| match Self::from(value.into_inner()) {
                    Self::Whole(number) if number >= 0 => Some(number),
                    _ => None,
                });
                numbers.collect::<Option<Vec<_>>>().map_or(Self::Other, Self::List)
            }
            DeValue::Datetime(_) | DeValue::Table(_) => Self::Other,
        }
    }
}

/// A deflection in points.
pub(super) fn points(source: &Source, key: &str, value: &Spanned<Value>) -> Result<Deflection, Fault> {
    let number = number(source, key, value)?;
    let bits = (number * 16_384.0 / 100.0).round();
    if !(f64::from(i16::MIN)..=f64::from(i16::MAX)).contains(&bits) {
        let least = if matches!(key, "rest_points" | "failsafe_points") { -200 } else { 0 };
        return Err(refuse(source, key, value, "is no deflection", &format!("give {least} to 199.99 points")));
    }
    check_form(source, key, value, number)?;
    #[allow(clippy::cast_possible_truncation)] // in range, as just seen
    Ok(Deflection::from_bits(bits as i16))
}

/// A time in milliseconds.
pub(super) fn duration(source: &Source, key: &str, value: &Spanned<Value>) -> Result<Duration, Fault> {
    let number = number(source, key, value)?;
    let micros = number * 1000.0;
    // What a decimal fraction loses as a float is far less than this.
    if (micros - micros.round()).abs() > 1e-4 {
        return Err(refuse(source, key, value, "is finer than a microsecond", "round it to 3 decimals"));
    }
    if !(0.0..=f64::from(u32::MAX)).contains(&micros) {
        let remedy = "give a number of milliseconds, 0 or more";
        let found = if micros < 0.0 { "is below 0" } else { "is no time that the engine's clock can hold" };
        return Err(refuse(source, key, value, found, remedy));
    }
    check_form(source, key, value, number)?;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // in range, as just seen
    Ok(Duration::from_ticks(micros.round() as u32))
}

/// A whole number from 0 to 255.
pub(super) fn count(source: &Source, key: &str, value: &Spanned<Value>) -> Result<u8, Fault> {
    let count = match *value.get_ref() {
        Value::Whole(number) => u8::try_from(number).ok(),
        _ => None,
    };
    let count = count.ok_or_else(|| wrong::value(source, key, &value.span()))?;
    check_form(source, key, value, f64::from(count)).map(|()| count)
}

/// A time in whole microseconds.
pub(super) fn micros(source: &Source, key: &str, value: &Spanned<Value>) -> Result<Duration, Fault> {
    let number = number(source, key, value)?;
    if number.fract() != 0.0 || !(0.0..=f64::from(u32::MAX)).contains(&number) {
        let remedy = "give a whole number of microseconds, 0 to 4294967295";
        return Err(refuse(source, key, value, "is no time here", remedy));
    }
    check_form(source, key, value, number)?;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // in range, as just seen
    Ok(Duration::from_ticks(number as u32))
}

/// The width of a pulse in microseconds, to the nearest sixteenth.
pub(super) fn pulse(source: &Source, key: &str, value: &Spanned<Value>) -> Result<Pulse, Fault> {
    let number = number(source, key, value)?;
    if !(0.0..=4000.0).contains(&number) {
        return Err(refuse(source, key, value, "is no width of a pulse", "give 0 to 4000 microseconds, such as 1500"));
    }
    check_form(source, key, value, number)?;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // in range, as just seen
    Ok(Pulse::from_bits((number * 16.0).round() as u16))
}

/// Pulses and gaps in milliseconds.
pub(super) fn rhythm(source: &Source, key: &str, value: &Spanned<Value>) -> Result<Rhythm, Fault> {
    let Value::List(list) = value.get_ref() else { return Err(wrong::value(source, key, &value.span())) };
    let mut lengths = [0; Rhythm::LENGTHS];
    if list.len() > lengths.len() {
        let found = format!("has {} lengths", list.len());
        return Err(source.fault(key, &value.span(), found, "keep to 11: six pulses and the gaps between them"));
    }
    for (place, &number) in lengths.iter_mut().zip(list) {
        *place = u16::try_from(number).ok().filter(|&ms| ms > 0).ok_or_else(|| {
            let remedy = "give each pulse and each gap 1 to 65535 milliseconds";
            source.fault(key, &value.span(), format!("{number} is no length of a pulse or a gap"), remedy)
        })?;
    }
    Ok(Rhythm::of(lengths))
}

pub(super) fn flag(source: &Source, key: &str, value: &Spanned<Value>) -> Result<bool, Fault> {
    match *value.get_ref() {
        Value::Flag(flag) => Ok(flag),
        _ => Err(wrong::value(source, key, &value.span())),
    }
}

/// One of the words of a type.
pub(super) fn choice<T: Choice>(source: &Source, key: &str, value: &Spanned<Value>) -> Result<T, Fault> {
    let words = T::ALL.iter().map(|choice| choice.word()).collect::<Vec<_>>();
    word(source, key, value, &words).map(|place| T::ALL[place])
}

/// The place of the word in this list.
pub(super) fn word(source: &Source, key: &str, value: &Spanned<Value>, known: &[&str]) -> Result<usize, Fault> {
    let Value::Text(word) = value.get_ref() else { return Err(wrong::value(source, key, &value.span())) };
    known.iter().position(|known| known == word).ok_or_else(|| {
        let expected = known.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>().join(" or ");
        let remedy = match nearest(word, known.iter().copied()) {
            Some(meant) => format!("write \"{meant}\""),
            None => "write one that is expected".to_owned(),
        };
        let found = format!("unknown variant `{}`, expected {expected}", shown(word.as_bytes()));
        source.fault(key, &value.span(), found, remedy)
    })
}

#[allow(clippy::cast_precision_loss)] // whoever writes 2^53 points or milliseconds is told that it is too much
fn number(source: &Source, key: &str, value: &Spanned<Value>) -> Result<f64, Fault> {
    match *value.get_ref() {
        Value::Whole(number) => Ok(number as f64),
        Value::Real(number) => Ok(number),
        _ => Err(wrong::value(source, key, &value.span())),
    }
}

/// Refuses a number that TOML knows and the other files do not, so that a number has one form everywhere.
fn check_form(source: &Source, key: &str, value: &Spanned<Value>, number: f64) -> Result<(), Fault> {
    let written = source.written(&value.span());
    if number::is_plain(written) {
        return Ok(());
    }
    let remedy = match form::form(key) {
        Some(Form::Number(unit, _)) => number::remedy(written, unit),
        _ => None,
    };
    let remedy = remedy.unwrap_or_else(|| format!("write {number}"));
    Err(refuse(source, key, value, "is not in the form of a number here", &remedy))
}

fn refuse(source: &Source, key: &str, value: &Spanned<Value>, why: &str, remedy: &str) -> Fault {
    let written = quoted(source.written(&value.span()).as_bytes());
    source.fault(key, &value.span(), format!("{written} {why}"), remedy)
}
