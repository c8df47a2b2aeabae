//! One value of a policy file changed in its text, so that the check of a file judges it.

use std::path::Path;

use super::settings::{FIXED, Form, REST_POINTS, Setting};
use crate::error::{Fault, quoted};
use crate::near::nearest;
use crate::policy::fields::{LATCHES, STILL, WHERE_LEFT};

const PLACE: &str = "settings";

/// The text of the policy with this value. `text` is a printed policy, `settings` are its values.
pub(super) fn changed(
    text: &str,
    settings: &[Setting],
    key: &str,
    axis: Option<&str>,
    value: &str,
) -> Result<String, Fault> {
    let known = |setting: &&Setting| setting.key == key && setting.axis.as_deref() == axis;
    let Some(setting) = settings.iter().find(known) else { return Err(unknown(settings, key, axis)) };
    if value.chars().any(char::is_control) {
        let found = format!("the value {} of {key} is no line of text", quoted(value.as_bytes()));
        return Err(Fault::new(Path::new(PLACE), found, "give it without line breaks"));
    }
    let value = value.trim();
    let (key, value, gone): (_, _, &[&str]) = match key {
        _ if key == WHERE_LEFT.0 && value == FIXED => (REST_POINTS, "0", &[WHERE_LEFT.0, STILL.1]),
        _ if key == WHERE_LEFT.0 => (key, value, &[REST_POINTS]),
        _ => (key, value, &[]),
    };
    let line = match setting.form {
        _ if value.is_empty() && setting.optional => None,
        Form::Choice if key != REST_POINTS => Some(format!("{key} = {}", toml::Value::String(value.to_owned()))),
        _ => Some(format!("{key} = {value}")),
    };
    Ok(put(text, &Table::of(settings, key, axis), key, gone, line))
}

/// A table of the file.
#[derive(Debug, PartialEq, Eq)]
enum Table {
    Whole,
    Latches,
    /// The axis of this number.
    Axis(usize),
}

impl Table {
    fn of(settings: &[Setting], key: &str, axis: Option<&str>) -> Self {
        let mut names: Vec<&str> = settings.iter().filter_map(|setting| setting.axis.as_deref()).collect();
        names.dedup();
        match axis.and_then(|axis| names.iter().position(|name| *name == axis)) {
            Some(number) => Self::Axis(number),
            None if LATCHES.iter().any(|field| field.key == key) => Self::Latches,
            None => Self::Whole,
        }
    }
}

/// The text with this line in the table, in place of the lines of `key`, and without those of `gone`.
fn put(text: &str, table: &Table, key: &str, gone: &[&str], mut line: Option<String>) -> String {
    let (mut here, mut axes) = (Table::Whole, 0);
    let mut lines: Vec<String> = Vec::new();
    for old in text.lines() {
        match old {
            // The end of a table: its new line comes before.
            _ if old.starts_with('[') && here == *table => lines.extend(line.take()),
            _ => {}
        }
        if old == "[latches]" {
            here = Table::Latches;
        } else if old == "[[axis]]" {
            here = Table::Axis(axes);
            axes += 1;
        }
        let written = old.split_once('=').map(|(written, _)| written.trim());
        match written.filter(|_| here == *table && !old.starts_with('#')) {
            Some(written) if written == key => lines.extend(line.take()),
            Some(written) if gone.contains(&written) => {}
            _ => lines.push(old.to_owned()),
        }
    }
    lines.extend(line);
    lines.join("\n") + "\n"
}

fn unknown(settings: &[Setting], key: &str, axis: Option<&str>) -> Fault {
    let place = Path::new(PLACE);
    let mut names: Vec<&str> = settings.iter().filter_map(|setting| setting.axis.as_deref()).collect();
    names.dedup();
    if let Some(axis) = axis.filter(|axis| !names.contains(axis)) {
        let found = format!("{} is no axis of the craft", quoted(axis.as_bytes()));
        return Fault::new(place, found, format!("give one of {}", names.join(", ")));
    }
    let found =
        format!("{} is no value {}", quoted(key.as_bytes()), axis.map_or("of the whole craft", |_| "of an axis"));
    let keys = settings.iter().filter(|setting| setting.axis.as_deref() == axis).map(|setting| setting.key);
    let remedy = match nearest(key, keys) {
        Some(meant) => format!("write {meant}"),
        None if axis.is_none() => "give one that `settings` lists, and its axis if it has one".to_owned(),
        None => "give one that `settings` lists for this axis".to_owned(),
    };
    Fault::new(place, found, remedy)
}
