//! Reads lines from whatever arrives, and never fails.

use heapless::Vec;

/// The longest line that is read, in bytes.
pub(crate) const LONGEST_COMMAND: usize = 96;

/// A line that has arrived.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Arrived {
    Line(Vec<u8, LONGEST_COMMAND>),
    /// The line was longer than [`LONGEST_COMMAND`]; nothing of it is kept.
    TooLong,
}

/// Collects bytes into lines. It takes no byte while a complete line waits, so that a flood is processed one line at a
/// time.
#[derive(Clone, Debug, Default)]
pub(crate) struct Reader {
    line: Vec<u8, LONGEST_COMMAND>,
    too_long: bool,
    complete: bool,
}

impl Reader {
    pub(crate) const fn is_full(&self) -> bool {
        self.complete
    }

    /// Takes a byte; says whether it was taken.
    pub(crate) fn take(&mut self, byte: u8) -> bool {
        if self.complete {
            return false;
        }
        if byte == b'\n' {
            self.complete = true;
        } else if self.line.push(byte).is_err() {
            self.too_long = true;
        }
        true
    }

    /// The line that waits, without spaces and line ends around it; an empty one counts as none.
    pub(crate) fn next(&mut self) -> Option<Arrived> {
        if !core::mem::take(&mut self.complete) {
            return None;
        }
        let line = core::mem::take(&mut self.line);
        if core::mem::take(&mut self.too_long) {
            return Some(Arrived::TooLong);
        }
        let line = Vec::from_slice(line.trim_ascii()).unwrap_or_default();
        (!line.is_empty()).then_some(Arrived::Line(line))
    }
}

#[cfg(test)]
mod tests {
    extern crate std;
    use std::vec::Vec as All;

    use super::*;

    fn arrived(bytes: &[u8]) -> All<Arrived> {
        let (mut reader, mut lines) = (Reader::default(), All::new());
        for &byte in bytes {
            assert!(reader.take(byte));
            lines.extend(reader.next());
        }
        lines
    }

    fn line(text: &[u8]) -> Arrived {
        Arrived::Line(Vec::from_slice(text).expect("short"))
    }

    /// Given lines with either line end, empty lines and a half line, when they arrive, then the whole lines come out.
    #[test]
    fn whole_lines_come_out_and_half_lines_wait() {
        assert_eq!(arrived(b"version\r\n\n \r\n  stop \nrea"), [line(b"version"), line(b"stop")]);
    }

    /// Given a line of 96 bytes and one of 97, when they arrive, then the first comes out and the second is too long,
    /// and the line after it is whole.
    #[test]
    fn a_line_that_is_too_long_is_refused_once_and_skipped() {
        let long = [b'x'; 97];
        assert_eq!(arrived(&[&long[..96], b"\n"].concat()), [line(&long[..96])]);
        assert_eq!(arrived(&[&long[..], &long[..], b"\nstop\n"].concat()), [Arrived::TooLong, line(b"stop")]);
    }

    /// Given a line that nobody has read, when more bytes come, then they are not taken, so that the port can hold them
    /// back.
    #[test]
    fn no_byte_is_taken_while_a_line_waits() {
        let mut reader = Reader::default();
        assert!(reader.take(b'a') && reader.take(b'\n') && reader.is_full());
        assert!(!reader.take(b'b'));
        assert_eq!(reader.next(), Some(line(b"a")));
        assert!(reader.take(b'b') && !reader.is_full());
    }
}
