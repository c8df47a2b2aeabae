//! What somebody meant whose text is no policy: the slips that people make, each with its place and its remedy.

use std::ops::Range;

use super::keys::{self, Table};
use super::source::Source;
use super::wrong;
use crate::error::{Fault, quoted, shown};
use crate::near::nearest;
use crate::table::LINE_ENDS;

/// Where nothing better is known.
const MEND: &str = "`lesson policy` prints a file with every key to start from";

/// The refusal of a text that the library could not read.
pub(super) fn fault(source: &Source, why: &toml::de::Error) -> Fault {
    let place = why.span().unwrap_or_default();
    let message = why.message();
    if let Some(at) = bare_cr(source.text()) {
        return source.fault("", &(at..at), "the line does not end", LINE_ENDS);
    }
    if let Some((at, c)) = source.text().char_indices().find(|(_, c)| c.is_control() && !"\t\r\n".contains(*c)) {
        let found = format!("{} cannot be in a policy", quoted(c.to_string().as_bytes()));
        let place = at..at;
        return source.fault(source.key_at(&place), &place, found, "give a text file; remove what cannot be printed");
    }
    if let Some(at) = open_quote(source.text()).filter(|at| *at <= place.end) {
        let found = format!("the quote that begins here, {}, does not end", quoted(source.line_from(at).as_bytes()));
        return source.fault(source.key_at(&(at..at)), &(at..at), found, "end it on the same line");
    }
    wrong_table(source, &place)
        .or_else(|| wrong::syntax(source, &place, message))
        .or_else(|| no_value(source, &place, message))
        .unwrap_or_else(|| {
            let found = message.lines().collect::<Vec<_>>().join(", ");
            let remedy = source.decimal_comma(&place).or_else(|| mend_of(message)).unwrap_or(MEND.to_owned());
            source.fault(source.key_at(&place), &place, found, remedy)
        })
}

/// The remedy for what the library says clearly.
fn mend_of(message: &str) -> Option<String> {
    let known = [
        ("duplicate key", "write each key once"),
        ("unexpected key or value", "write each key on a line of its own"),
        ("unquoted keys cannot be empty", "write a key before the equals sign"),
        ("invalid unquoted key", "keep to letters, digits and _ in a key"),
        ("missing escaped value", "write two backslashes for one"),
        ("too few unicode value digits", "write two backslashes for one"),
    ];
    known.into_iter().find(|(start, _)| message.starts_with(start)).map(|(_, remedy)| remedy.to_owned())
}

/// Where the first CR is that does not belong to the end of a line.
fn bare_cr(text: &str) -> Option<usize> {
    text.match_indices('\r').map(|(at, _)| at).find(|at| !text[at + 1..].starts_with('\n'))
}

/// Where the first string begins that does not end.
fn open_quote(text: &str) -> Option<usize> {
    let mut at = 0;
    while let Some(found) = text[at..].find(['#', '"', '\'']) {
        at += found;
        let rest = &text[at..];
        if rest.starts_with('#') {
            at += rest.find('\n')?;
            continue;
        }
        let quote = &rest[..1];
        let long = quote.repeat(3);
        let (open, close, is_long) = if rest.starts_with(&long) { (3, long.as_str(), true) } else { (1, quote, false) };
        let Some(end) = end_of_string(&rest[open..], close, quote == "\"", is_long) else { return Some(at) };
        at += open + end;
    }
    None
}

/// How far it is to the end of a string, with its quotes; `None` where it has no end.
fn end_of_string(text: &str, close: &str, has_escapes: bool, is_long: bool) -> Option<usize> {
    let mut escaped = false;
    for (at, c) in text.char_indices() {
        match c {
            '\n' if !is_long => return None,
            _ if escaped => escaped = false,
            '\\' if has_escapes => escaped = true,
            _ if text[at..].starts_with(close) => {
                // Of more than three quotes the last three close.
                let more = text[at + close.len()..].chars().take_while(|c| is_long && close.starts_with(*c)).count();
                return Some(at + close.len() + more);
            }
            _ => {}
        }
    }
    None
}

/// A table with the brackets of the other kind, or with a name that differs from that of a table.
fn wrong_table(source: &Source, place: &Range<usize>) -> Option<Fault> {
    let line = source.line_at(place.start);
    let header = line.split('#').next().unwrap_or_default().trim();
    let name = header.trim_matches(['[', ']']).trim();
    let is_header = header.starts_with('[') && header.ends_with(']');
    if !is_header {
        return None;
    }
    let meant = keys::TABLES.into_iter().find(|table| table.name() == name);
    let meant = meant.or_else(|| {
        let names = ["axis", "axes", "latches", "latch", "instructor", "student", "craft", "cues"];
        match nearest(name, names)? {
            "latches" | "latch" => Some(Table::Latches),
            "axis" | "axes" => Some(Table::Axis),
            other => keys::TABLES.into_iter().find(|table| table.name() == other),
        }
    })?;
    if meant.header() == header {
        // The brackets are right: what is wrong is another table, of the same name.
        let other = source.text().lines().find(|line| {
            let header = line.split('#').next().unwrap_or_default().trim();
            header == "[axis]" || header.starts_with("[axis.")
        });
        let other = other.filter(|_| meant == Table::Axis)?;
        let header = other.split('#').next().unwrap_or_default().trim();
        return Some(wrong_header(source, source.text().find(other)?, header, meant));
    }
    Some(wrong_header(source, source.line_start(place.start), header, meant))
}

fn wrong_header(source: &Source, at: usize, header: &str, meant: Table) -> Fault {
    let found = format!("{} is no table of a policy", quoted(header.as_bytes()));
    let why = if meant == Table::Axis { "for every axis, with two brackets" } else { "once, with one bracket" };
    source.fault(header, &(at..at), found, format!("write {} {why}", meant.header()))
}

/// The refusal of a value that stands where the table of this name belongs.
pub(super) fn no_table(source: &Source, name: &str, place: &Range<usize>) -> Fault {
    wrong_table(source, place).unwrap_or_else(|| wrong::value(source, name, place))
}

/// The refusal of a key that the table `here` does not have: another was meant, or it belongs elsewhere.
pub(super) fn unknown_key(source: &Source, here: Table, place: &Range<usize>, key: &str) -> Fault {
    if let Some(fault) = wrong_table(source, place) {
        return fault;
    }
    let Some((table, meant)) = keys::meant(here, key) else {
        let tables = keys::TABLES.into_iter().filter(|_| here == Table::Whole).map(Table::name);
        let tables = tables.filter(|name| !name.is_empty());
        let expected =
            here.keys().into_iter().chain(tables).map(|key| format!("`{key}`")).collect::<Vec<_>>().join(", ");
        let key = shown(key.as_bytes());
        return source.fault(&key, place, format!("unknown field `{key}`, expected one of {expected}"), MEND);
    };
    let remedy = match () {
        () if table == here => format!("write {meant}"),
        () if meant == key => format!("it belongs {}", table.place()),
        () => format!("write {meant}, which belongs {}", table.place()),
    };
    source.fault(source.key_at(place), place, format!("unknown key {}", quoted(key.as_bytes())), remedy)
}

/// A line without an equals sign, or with more than a key before it.
fn no_value(source: &Source, place: &Range<usize>, message: &str) -> Option<Fault> {
    if !message.starts_with("key with no value") {
        return None;
    }
    let start = source.line_start(place.start);
    let line = source.line_at(place.start).trim();
    let refuse = |found: &str, remedy: String| {
        Some(source.fault("", &(start..start), format!("{} {found}", quoted(line.as_bytes())), remedy))
    };
    if let Some((words, value)) = line.split_once('=') {
        let remedy = match keys::meant(Table::Whole, words.trim()) {
            Some((_, meant)) => format!("write {meant} ={value}"),
            None => "keep to letters, digits and _ in a key".to_owned(),
        };
        return refuse("has more than a key before the equals sign", remedy);
    }
    match line.split_once(':') {
        Some((key, value)) if line.len() < 60 => {
            refuse("has no equals sign", format!("write {} = {}", key.trim(), value.trim()))
        }
        _ => refuse("has no equals sign", format!("write a key, an equals sign and a value; {MEND}")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quote_that_does_not_end_is_found_where_it_begins() {
        for (text, at) in [
            ("a = \"b", Some(4)),
            ("a = \"b\nc = \"d\"", Some(4)),
            ("a = 'b\"\nc = 3", Some(4)),
            ("a = \"b\" # it's \" fine\nc = 'd", Some(26)),
            ("a = \"b\\\"\nc = 3", Some(4)),
            ("a = \"\"\"b\n\"\"\nc = 3", Some(4)),
            ("a = \"\"\"b\n\"\"\"\"\"\nc = \"", Some(19)),
            ("a = 'b\\'\nc = \"\"", None),
            ("a = '''b\n\" '''", None),
            ("", None),
        ] {
            assert_eq!(open_quote(text), at, "{text}");
        }
    }
}
