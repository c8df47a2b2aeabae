//! Values that TOML does not know, or that are not in the form of their key: numbers with a sign, an exponent or a
//! unit, bare words.

use std::ops::Range;

use super::form::{Form, form};
use super::source::Source;
use crate::error::{Fault, quoted};
use crate::number::{self, Unit};

/// The refusal of a value that TOML knows and that has another form than the key `key` needs.
pub(super) fn value(source: &Source, key: &str, place: &Range<usize>) -> Fault {
    let written = source.written(place);
    let (found, remedy) = describe(key, written).unwrap_or(("is no text".to_owned(), "write it in quotes".to_owned()));
    source.fault(key, place, format!("{} {found}", quoted(written.as_bytes())), remedy)
}

/// The refusal of a value that TOML does not know; `None` where `message`, the library's, is about something else.
pub(super) fn syntax(source: &Source, place: &Range<usize>, message: &str) -> Option<Fault> {
    let (key, written, value_place) = source.value_at(place)?;
    let refuse = |found: &str, remedy: &str| {
        Some(source.fault(key, &value_place, format!("{} {found}", quoted(written.as_bytes())), remedy))
    };
    if written.is_empty() {
        let remedy = "write it behind the equals sign, or leave the key out for its default";
        return Some(source.fault(key, &value_place, "has no value", remedy));
    }
    if written.starts_with('=') {
        return refuse("begins with a second equals sign", "write one");
    }
    let is_of_the_value = message.starts_with("string values must be")
        || (message.starts_with("invalid ") && !message.starts_with("invalid unquoted key"));
    if !is_of_the_value || place.start < value_place.start {
        return None;
    }
    // The reader of decimal commas sees more of the line.
    let is_number = matches!(form(key), Some(Form::Number(..)));
    let described = if is_number && written.contains(',') { None } else { describe(key, written) };
    described.and_then(|(found, remedy)| refuse(&found, &remedy))
}

/// What is wrong with a value of this key, and the remedy.
fn describe(key: &str, written: &str) -> Option<(String, String)> {
    let pair = |found: &str, remedy: String| Some((found.to_owned(), remedy));
    let words = match form(key) {
        Some(Form::Number(unit, example)) => return Some(no_number(key, written, unit, example)),
        Some(Form::Flag) => return pair("is neither true nor false", "write true or false, without quotes".into()),
        Some(Form::List) => {
            return pair("is no list of lengths", "write pulse, gap, pulse in milliseconds: [500, 100, 500]".into());
        }
        Some(Form::Words(words)) => words,
        None => Vec::new(),
    };
    let is_bare = written.chars().all(|c| c.is_alphanumeric() || "_-. ".contains(c));
    let is_known = table_mend(key).is_none() && (words.is_empty() || words.contains(&written));
    let curly = ['\u{201c}', '\u{201d}', '\u{2018}', '\u{2019}', '\u{201e}', '\u{201f}'];
    match written.trim_matches(curly) {
        word if word != written => pair("is in quotes that TOML does not know", format!("write \"{word}\"")),
        word if is_bare && is_known => pair("is not in quotes", format!("write \"{word}\"")),
        _ if !words.is_empty() => {
            let words = words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(" or ");
            let points = if key == "rest" { ", or the key rest_points and a number" } else { "" };
            pair("is not known here", format!("write {words}{points}"))
        }
        _ => pair("is not known here", table_mend(key)?.to_owned()),
    }
}

/// The keys of whole numbers that count from 0.
const COUNTING: [&str; 3] = ["channel", "channels", "phrase"];

/// The remedy for the name of a table that is used as a key.
fn table_mend(key: &str) -> Option<&'static str> {
    match key {
        "latches" => Some("write [latches] on a line of its own, and its keys below"),
        "axis" => Some("write [[axis]] on a line of its own, and the keys of the axis below"),
        "instructor" | "student" | "craft" => {
            Some("write a table: of a train below a line in brackets, of an axis such as { channel = 0 }")
        }
        "cues" => Some("write [cues] on a line of its own, and its keys below"),
        "taken" | "lost" | "nobody" | "handed_back" | "both" | "offer" => {
            Some("write a table, such as { every_ms = 5000 }")
        }
        _ => None,
    }
}

/// What is wrong with a value where a number belongs, and the remedy.
fn no_number(key: &str, written: &str, unit: &Unit, example: &str) -> (String, String) {
    let (bare, quotes) = match written.strip_prefix('"').and_then(|written| written.strip_suffix('"')) {
        Some(bare) => (bare, ", without quotes"),
        None => (written, ""),
    };
    let no_number = |remedy: String| ("is no number".to_owned(), remedy + quotes);
    let is_too_large = || bare.ends_with(|c: char| c.is_ascii_digit()) && bare.parse().is_ok_and(f64::is_infinite);
    match number::remedy(bare, unit) {
        Some(remedy) => no_number(remedy),
        None if number::is_plain(bare) && !quotes.is_empty() => no_number(format!("write {bare}")),
        None if number::is_plain(bare) && COUNTING.contains(&key) => {
            ("is no number of one".to_owned(), "write a whole number from 0 to 255".to_owned())
        }
        None if key == "confirm" && number::is_plain(bare) => {
            ("is no number of frames".to_owned(), "write a whole number from 1 to 255".to_owned())
        }
        None if bare.starts_with('.') || bare.ends_with('.') => {
            no_number("write digits before and after the point".to_owned())
        }
        None if number::is_plain(bare) || is_too_large() => {
            ("is out of range".to_owned(), format!("write a number such as {example}"))
        }
        None => no_number(format!("write digits, such as {example}")),
    }
}
