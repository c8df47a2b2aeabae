//! The one kind of failure of this tool: where it is, what was found there, and the remedy.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// What ends a command early, or refuses what was asked for. `Display` is one line: place, value and remedy.
#[derive(Debug)]
pub struct Fault(Box<Told>);

/// Boxed, since it travels with every row and is wanted once.
#[derive(Debug)]
struct Told {
    file: PathBuf,
    line: Option<u64>,
    column: Option<Column>,
    found: String,
    remedy: String,
    /// The reader of a pipe went away: nobody is left to tell, and nothing is wrong.
    quiet: bool,
}

/// A column of a table or a key of a policy.
#[derive(Debug)]
struct Column {
    number: usize,
    name: String,
}

impl Fault {
    /// Something in this file is wrong (`found`, with the value), and this is what to do about it (`remedy`).
    pub(crate) fn new(file: &Path, found: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self(Box::new(Told {
            file: file.to_owned(),
            line: None,
            column: None,
            found: found.into(),
            remedy: remedy.into(),
            quiet: false,
        }))
    }

    /// The same, where the text holds the remedy already.
    pub(crate) fn told(file: &Path, text: impl Into<String>) -> Self {
        Self::new(file, text, "")
    }

    /// The system would not let this file be read.
    pub(crate) fn unread(file: &Path, why: &io::Error) -> Self {
        Self::io(file, "cannot be read", why, "check the path")
    }

    /// The system would not let this file be written.
    pub(crate) fn unwritten(file: &Path, why: &io::Error) -> Self {
        Self::io(file, "cannot be written", why, "make the folder first, or check the path")
    }

    fn io(file: &Path, refused: &str, why: &io::Error, where_missing: &str) -> Self {
        use io::ErrorKind as Kind;
        let remedy = match why.kind() {
            Kind::NotFound => where_missing,
            Kind::PermissionDenied | Kind::ReadOnlyFilesystem => "get permission for it, or choose another place",
            Kind::IsADirectory => "name a file in it",
            Kind::NotADirectory => "check the path: a part of it is a file, not a folder",
            Kind::StorageFull | Kind::QuotaExceeded => "free some space, or choose another disk",
            _ => "check the disk and the path",
        };
        let mut fault = Self::new(file, format!("{refused}: {}", words_of(why)), remedy);
        fault.0.quiet = why.kind() == Kind::BrokenPipe;
        fault
    }

    /// At this line, counted from 1.
    pub(crate) fn at(mut self, line: u64) -> Self {
        self.0.line = Some(line);
        self
    }

    /// In this column, counted from 1, of this name.
    pub(crate) fn column(mut self, number: usize, name: &str) -> Self {
        self.0.column = Some(Column { number, name: shown(name.as_bytes()) });
        self
    }

    /// Standard output cannot be written.
    pub(crate) fn stdout(why: &io::Error) -> Self {
        Self::unwritten(Path::new("standard output"), why)
    }

    /// Whether there is nobody to tell.
    pub(crate) fn is_quiet(&self) -> bool {
        self.0.quiet
    }
}

/// The system's words, without the number it adds.
fn words_of(why: &io::Error) -> String {
    let text = why.to_string();
    text.split(" (os error").next().unwrap_or_default().to_lowercase()
}

/// A value as a message shows it, in quotes; one that has quotes stands for itself.
pub(crate) fn quoted(value: &[u8]) -> String {
    let shown = shown(value);
    if shown.contains('"') { shown } else { format!("\"{shown}\"") }
}

/// A value as a message shows it: unprintable bytes escaped, and not endless.
pub(crate) fn shown(value: &[u8]) -> String {
    const MOST: usize = 40;
    let text = String::from_utf8_lossy(value);
    let mut shown = String::new();
    for c in text.chars().take(MOST) {
        if matches!(c, '"' | '\'') { shown.push(c) } else { shown.extend(c.escape_debug()) }
    }
    if text.chars().nth(MOST).is_some() {
        shown.push_str("...");
    }
    shown
}

/// A path as the user wrote it, but for what would break the line or steer the terminal.
fn on_one_line(path: &Path) -> String {
    let mut shown = String::new();
    for c in path.to_string_lossy().chars() {
        if c.is_control() { shown.extend(c.escape_debug()) } else { shown.push(c) }
    }
    shown
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Told { file, line, column, found, remedy, .. } = &*self.0;
        write!(f, "{}", on_one_line(file))?;
        if let Some(line) = line {
            write!(f, ", line {line}")?;
        }
        if let Some(Column { number, name }) = column {
            write!(f, ", column {number} ({name})")?;
        }
        write!(f, ": {found}")?;
        if !remedy.is_empty() {
            write!(f, "; {remedy}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Fault {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_with_a_line_break_or_an_escape_stays_on_its_line() {
        let fault = Fault::new(Path::new("a\n\u{1b}[31m b.csv"), "is empty", "");
        assert_eq!(fault.to_string(), "a\\n\\u{1b}[31m b.csv: is empty");
    }

    /// Given a fault with its place, when it is printed, then it names file, line, column, value and remedy.
    #[test]
    fn a_message_names_file_line_column_value_and_remedy() {
        let fault = Fault::new(Path::new("a.csv"), format!("{} is not a number", quoted(b"abc")), "write points");
        assert_eq!(
            fault.at(3).column(4, "i:roll").to_string(),
            "a.csv, line 3, column 4 (i:roll): \"abc\" is not a number; write points"
        );
    }

    #[test]
    fn a_value_with_quotes_is_shown_as_it_stands() {
        assert_eq!([quoted(b"\"200\""), quoted(b"it's")], ["\"200\"", "\"it's\""]);
    }

    #[test]
    fn a_value_that_is_long_or_binary_stays_one_short_line() {
        assert_eq!(quoted(b"\0\n\x1b[2J"), r#""\0\n\u{1b}[2J""#);
        assert_eq!(quoted(&[b'x'; 5000]), format!("\"{}...\"", "x".repeat(40)));
    }
}
