//! Values that are none of TOML, or not in the form that is read: numbers with a sign, an exponent or a unit, bare words.

use std::ops::Range;

use super::source::Source;
use crate::error::{Fault, quoted};
use crate::number::{self, FRAMES, MILLISECONDS, POINTS, Unit};

/// The keys whose value is `true` or `false`.
const FLAGS: [&str; 4] = ["off_first_after_loss", "keep", "watched", "shared"];

/// What the number of a key counts, and an example.
fn unit(key: &str) -> Option<(&'static Unit, &'static str)> {
    match key {
        key if key.ends_with("_points") => Some((&POINTS, "2.5")),
        key if key.ends_with("_ms") => Some((&MILLISECONDS, "300")),
        "confirm" => Some((&FRAMES, "3")),
        _ => None,
    }
}

/// The words that a key knows.
fn words(key: &str) -> Option<&'static str> {
    match key {
        "scope" => Some("write \"craft\" or \"axis\""),
        "kind" => Some("write \"sprung\" or \"unsprung\""),
        "transfer" => Some("write \"snap\" or \"pickup\""),
        "rest" => Some("write \"where-left\", or the key rest_points and a number"),
        "latches" => Some("write [latches] on a line of its own, and its keys below"),
        "axis" => Some("write [[axis]] on a line of its own, and the keys of the axis below"),
        _ => None,
    }
}

/// What is wrong with the value at this place, which the library could not read.
pub(super) fn slip(source: &Source, place: &Range<usize>, message: &str) -> Option<Fault> {
    let (key, value, value_place) = source.value_at(place)?;
    let refuse = |found: &str, mend: String| {
        Some(source.fault(key, &value_place, format!("{} {found}", quoted(value.as_bytes())), mend))
    };
    if value.is_empty() {
        let mend = "write it behind the equals sign, or leave the key out for its default";
        return Some(source.fault(key, &value_place, "has no value", mend));
    }
    if value.starts_with('=') {
        return refuse("begins with a second equals sign", "write one".into());
    }
    let is_of_the_value = ["invalid type", "invalid value", "string values must be", "wanted", "unknown variant"];
    let is_of_the_value = is_of_the_value.into_iter().any(|start| message.starts_with(start))
        || (message.starts_with("invalid ") && !message.starts_with("invalid unquoted key"))
        || message.contains("overflowed");
    if !is_of_the_value || place.start < value_place.start {
        return None;
    }
    if unit(key).is_some() {
        return number_slip(key, value, message).and_then(|(found, mend)| refuse(&found, mend));
    }
    if FLAGS.contains(&key) {
        return refuse("is neither true nor false", "write true or false, without quotes".into());
    }
    let is_bare = value.chars().all(|c| c.is_alphanumeric() || "_-. ".contains(c));
    let is_known = |word: &str| words(key).is_none_or(|known| known.contains(&format!("\"{word}\"")));
    let curly = ['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}', '\u{201e}', '\u{201f}'];
    match value.trim_matches(curly) {
        word if word != value => refuse("is in quotes that TOML does not know", format!("write \"{word}\"")),
        word if is_bare && is_known(word) => refuse("is not in quotes", format!("write \"{word}\"")),
        // The library lists the words that it knows.
        _ if message.starts_with("unknown variant") => None,
        _ => words(key).and_then(|mend| refuse("is not known here", mend.into())),
    }
}

/// What is wrong with a value where a number belongs, and the mend.
fn number_slip(key: &str, value: &str, message: &str) -> Option<(String, String)> {
    let (unit, example) = unit(key)?;
    let (bare, quotes) = match value.strip_prefix('"').and_then(|value| value.strip_suffix('"')) {
        Some(bare) => (bare, ", without quotes"),
        None => (value, ""),
    };
    let no_number = |mend: String| Some(("is no number".to_owned(), mend + quotes));
    match number::mend(bare, unit) {
        // The reader of decimal commas sees more of the line.
        _ if bare.contains(',') => None,
        Some(mend) => no_number(mend),
        None if number::is_plain(bare) && !quotes.is_empty() => no_number(format!("write {bare}")),
        None if key == "confirm" && number::is_plain(bare) => {
            Some(("is no number of frames".to_owned(), "write a whole number from 1 to 255".to_owned()))
        }
        None if bare.starts_with('.') || bare.ends_with('.') => {
            no_number("write digits before and after the point".to_owned())
        }
        None if message.contains("overflowed") || number::is_plain(bare) => {
            Some(("is out of range".to_owned(), format!("write a number such as {example}")))
        }
        None => no_number(format!("write digits, such as {example}")),
    }
}

/// Refuses a number that TOML knows and the other files do not, so that a number has one form everywhere.
pub(super) fn check_form(source: &Source, key: &str, place: &Range<usize>, value: f64) -> Result<(), Fault> {
    let written = source.written(place);
    if number::is_plain(written) {
        return Ok(());
    }
    let mend = unit(key).and_then(|(unit, _)| number::mend(written, unit)).unwrap_or_else(|| format!("write {value}"));
    Err(source.fault(key, place, format!("{} is not in the form of a number here", quoted(written.as_bytes())), mend))
}
