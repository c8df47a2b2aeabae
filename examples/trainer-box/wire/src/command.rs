//! The commands that a computer may send.

use crate::text::Line;

/// One line from the computer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Command<'a> {
    Version,
    Trace,
    Raw,
    Stop,
    Lesson,
    Read,
    /// A file of this many bytes follows.
    Write(usize),
    /// Hexadecimal digits of the file.
    Bytes(&'a [u8]),
    /// The file is complete.
    End,
}

/// Why a line is no command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Refusal<'a> {
    Unknown(&'a [u8]),
    /// `write` without a number of bytes.
    Length(&'a [u8]),
}

/// The commands, for messages.
pub(crate) const KNOWN: &str = "version, trace, raw, stop, lesson, read, write BYTES";

impl<'a> Command<'a> {
    pub(crate) fn of(line: &'a [u8]) -> Result<Self, Refusal<'a>> {
        let (word, rest) = match line.iter().position(|&byte| byte == b' ') {
            Some(space) => line.split_at_checked(space).unwrap_or((line, &[])),
            None => (line, &[][..]),
        };
        let rest = rest.trim_ascii();
        match (word, rest) {
            (b"version", []) => Ok(Self::Version),
            (b"trace", []) => Ok(Self::Trace),
            (b"raw", []) => Ok(Self::Raw),
            (b"stop", []) => Ok(Self::Stop),
            (b"lesson", []) => Ok(Self::Lesson),
            (b"read", []) => Ok(Self::Read),
            (b"end", []) => Ok(Self::End),
            (b"=", digits) => Ok(Self::Bytes(digits)),
            (b"write", length) => number(length).map(Self::Write).ok_or(Refusal::Length(length)),
            _ => Err(Refusal::Unknown(line)),
        }
    }
}

fn number(digits: &[u8]) -> Option<usize> {
    let text = core::str::from_utf8(digits).ok()?;
    // `parse` takes a sign too.
    if digits.iter().all(u8::is_ascii_digit) { text.parse().ok() } else { None }
}

/// Writes what arrived, in quotes: at most 24 bytes, and anything but plain text as `\x` and two digits.
pub(crate) fn quote(line: &mut Line, arrived: &[u8]) {
    line.byte(b'"');
    for &byte in arrived.iter().take(24) {
        if (b' '..=b'~').contains(&byte) && byte != b'"' && byte != b'\\' {
            line.byte(byte);
        } else {
            line.text("\\x");
            line.hex_byte(byte);
        }
    }
    line.text(if arrived.len() > 24 { "...\"" } else { "\"" });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_command_is_read() {
        for (line, command) in [
            (&b"version"[..], Command::Version),
            (b"trace", Command::Trace),
            (b"raw", Command::Raw),
            (b"stop", Command::Stop),
            (b"lesson", Command::Lesson),
            (b"read", Command::Read),
            (b"write  12", Command::Write(12)),
            (b"= 00ff", Command::Bytes(b"00ff")),
            (b"end", Command::End),
        ] {
            assert_eq!(Command::of(line), Ok(command));
        }
    }

    #[test]
    fn anything_else_is_refused_by_name() {
        for line in [&b"xyz"[..], b"Version", b"version 1", b"tracer", b"\xff\0", b"stop stop"] {
            assert_eq!(Command::of(line), Err(Refusal::Unknown(line)));
        }
        for (line, length) in [(&b"write"[..], &b""[..]), (b"write x", b"x"), (b"write +1", b"+1")] {
            assert_eq!(Command::of(line), Err(Refusal::Length(length)));
        }
    }

    #[test]
    fn what_is_no_text_is_quoted_as_numbers() {
        let mut line = Line::new();
        quote(&mut line, b"a\"\\\x07\xff");
        assert_eq!(line.end(), b"\"a\\x22\\x5c\\x07\\xff\"\n");
        let mut line = Line::new();
        quote(&mut line, &[b'z'; 90]);
        assert_eq!(line.end(), b"\"zzzzzzzzzzzzzzzzzzzzzzzz...\"\n");
    }
}
