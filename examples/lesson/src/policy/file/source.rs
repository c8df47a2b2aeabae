//! The text of a policy file, and messages that point into it.

use std::ops::Range;
use std::path::{Path, PathBuf};

use crate::error::Fault;

/// The text of a policy file.
pub(super) struct Source {
    path: PathBuf,
    text: String,
}

impl Source {
    pub(super) fn new(path: &Path, text: String) -> Self {
        // A byte order mark is no part of the text; TOML readers differ on it.
        let text = text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text);
        Self { path: path.to_owned(), text }
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// What is written at this place.
    pub(super) fn written(&self, place: &Range<usize>) -> &str {
        self.text.get(place.clone()).unwrap_or_default()
    }

    /// Where the line begins that holds this place.
    pub(super) fn line_start(&self, at: usize) -> usize {
        self.text.get(..at).and_then(|before| before.rfind('\n')).map_or(0, |end| end + 1)
    }

    /// The line that holds this place.
    pub(super) fn line_at(&self, at: usize) -> &str {
        self.line_from(self.line_start(at))
    }

    /// The rest of the line from this place on.
    pub(super) fn line_from(&self, at: usize) -> &str {
        self.text.get(at..).and_then(|rest| rest.lines().next()).unwrap_or_default()
    }

    /// The key, the value as it is written, and its place, on the line of this place; `None` where it holds no value.
    pub(super) fn value_at(&self, place: &Range<usize>) -> Option<(&str, &str, Range<usize>)> {
        let mut start = self.line_start(place.start);
        let before = self.text.get(start..place.start)?;
        // In a table on one line there are several.
        let ends: &[char] = if before.contains('{') { &['#', ',', '}'] } else { &['#'] };
        if before.contains('{') {
            start += before.rfind(['{', ','])? + 1;
        }
        let (key, after) = self.line_from(start).split_once('=')?;
        // Other spaces are none of TOML's.
        let after_spaces = after.trim_start_matches([' ', '\t']);
        let value = after_spaces.split(ends).next().unwrap_or_default().trim_end_matches([' ', '\t', '\r']);
        let begin = start + key.len() + 1 + (after.len() - after_spaces.len());
        Some((
            key.rsplit('.').next().unwrap_or(key).trim().trim_matches(['"', '\'']),
            value,
            begin..begin + value.len(),
        ))
    }

    /// The key whose value, or which itself, is at this place.
    pub(super) fn key_at(&self, place: &Range<usize>) -> &str {
        let begin = self.line_start(place.start);
        let key = match self.text.get(begin..place.start).unwrap_or_default().split_once('=') {
            Some((key, _)) => key,
            None => self.written(place).lines().next().unwrap_or_default(),
        };
        key.rsplit('.').next().unwrap_or(key).trim().trim_matches(['"', '\''])
    }

    /// The remedy for a number whose decimal sign is a comma, if there is one at this place or just before it.
    pub(super) fn decimal_comma(&self, place: &Range<usize>) -> Option<String> {
        let (before, after) = self.text.split_at_checked(place.start)?;
        let is_part = |c: char| c.is_ascii_digit() || ",.-".contains(c);
        let quotes = if after.starts_with('"') { ", without quotes" } else { "" };
        let after = after.trim_start_matches('"');
        // The library notices some of them only at what comes next.
        let before = before.trim_end_matches(' ');
        let word = &before[before.trim_end_matches(is_part).len()..];
        let number = format!("{word}{}", &after[..after.len() - after.trim_start_matches(is_part).len()]);
        let (whole, part) = number.split_once(',')?;
        let is_number = whole.ends_with(|c: char| c.is_ascii_digit()) && part.starts_with(|c: char| c.is_ascii_digit());
        is_number.then(|| format!("the decimal sign is a point: write {whole}.{part}{quotes}"))
    }

    /// The value of this key at this place is wrong.
    pub(super) fn fault(
        &self,
        key: &str,
        place: &Range<usize>,
        found: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Fault {
        self.put(Fault::new(&self.path, found, remedy), key, place)
    }

    /// The same, where the text holds the remedy already.
    pub(super) fn told(&self, key: &str, place: &Range<usize>, text: String) -> Fault {
        self.put(Fault::told(&self.path, text), key, place)
    }

    fn put(&self, fault: Fault, key: &str, place: &Range<usize>) -> Fault {
        let before = self.text.get(..place.start).unwrap_or(&self.text);
        let line = before.bytes().filter(|&byte| byte == b'\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
        let fault = fault.at(line as u64);
        if key.is_empty() { fault } else { fault.column(column, key) }
    }
}
