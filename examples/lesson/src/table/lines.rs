//! Reads the lines of a file of any size through a buffer of a fixed size.

use std::io::{self, Read};
use std::ops::Range;
use std::path::Path;

use memchr::memchr;

use super::{LINE_ENDS, is_blank};
use crate::error::Fault;
use crate::file_kind::FileKind;
use crate::input::Input;

/// The longest line of a table, in bytes. A trace has 3 columns and 32 axes of 40 bytes each, which is much less.
const LONGEST_LINE: usize = 4096;
/// The size of the buffer in bytes: large enough for few system calls, small enough to stay in the cache.
const BUFFER: usize = 1 << 17;

/// The lines of `source`, without their ends. Lines are counted from 1.
pub(crate) struct Lines<R> {
    source: R,
    buffer: Box<[u8]>,
    /// The part of the buffer that is not returned yet.
    held: Range<usize>,
    ended: bool,
    number: u64,
    consumed: u64,
}

/// Why there is no next line.
pub(crate) enum NoLine {
    /// The line `number` is longer than [`LONGEST_LINE`]. `has_cr` is whether the line holds a CR, which does not end
    /// a line.
    TooLong {
        number: u64,
        has_cr: bool,
    },
    Io(io::Error),
}

impl NoLine {
    /// The error in a file of this kind ("a trace").
    pub(crate) fn fault(&self, path: &Path, kind: &str) -> Fault {
        match self {
            Self::Io(why) => Fault::unread(path, why),
            Self::TooLong { number, has_cr } => {
                let found = format!("is longer than {LONGEST_LINE} bytes");
                let remedy = if *has_cr {
                    LINE_ENDS.to_owned()
                } else {
                    format!("{kind} has a line per step; check that this is one")
                };
                Fault::new(path, found, remedy).at(*number)
            }
        }
    }
}

impl Lines<Box<dyn Read + Send>> {
    /// Begins to read a file that should be of this kind ("a trace"). A file that looks like another kind is refused.
    pub(crate) fn read(input: Input, kind: &str, is_other: impl Fn(FileKind) -> bool) -> Result<Self, Fault> {
        let path = input.path().to_owned();
        let mut lines = Self::new(input.into_bytes());
        lines.fill().map_err(|why| Fault::unread(&path, &why))?;
        match FileKind::of(&lines.buffer[lines.held.clone()]) {
            Some(looks) if is_other(looks) => Err(looks.instead_of(kind, &path)),
            _ => Ok(lines),
        }
    }
}

impl<R: Read> Lines<R> {
    pub(crate) fn new(source: R) -> Self {
        let buffer = vec![0; BUFFER].into_boxed_slice();
        Self { source, buffer, held: 0..0, ended: false, number: 0, consumed: 0 }
    }

    /// The number of the last returned line; 0 before the first.
    pub(crate) fn number(&self) -> u64 {
        self.number
    }

    /// Number of bytes returned so far, line ends included.
    pub(crate) fn consumed(&self) -> u64 {
        self.consumed
    }

    /// The next line that is not empty; `None` at the end.
    pub(crate) fn next_line(&mut self) -> Result<Option<&[u8]>, NoLine> {
        self.next_where(|line| !line.is_empty())
    }

    /// The next line with a cell that is not empty; `None` at the end.
    pub(crate) fn next_row(&mut self) -> Result<Option<&[u8]>, NoLine> {
        self.next_where(|line| !is_blank(line))
    }

    fn next_where(&mut self, is_wanted: impl Fn(&[u8]) -> bool) -> Result<Option<&[u8]>, NoLine> {
        while let Some(Range { start, mut end }) = self.next_range()? {
            if end > start && self.buffer[end - 1] == b'\r' {
                end -= 1;
            }
            if is_wanted(&self.buffer[start..end]) {
                return Ok(Some(&self.buffer[start..end]));
            }
        }
        Ok(None)
    }

    fn next_range(&mut self) -> Result<Option<Range<usize>>, NoLine> {
        loop {
            let held = &self.buffer[self.held.clone()];
            let (length, end) = match memchr(b'\n', held) {
                Some(length) => (length, length + 1),
                None if self.ended && held.is_empty() => return Ok(None),
                None if self.ended || held.len() > LONGEST_LINE => (held.len(), held.len()),
                None => {
                    self.fill().map_err(NoLine::Io)?;
                    continue;
                }
            };
            self.number += 1;
            if length > LONGEST_LINE {
                return Err(NoLine::TooLong {
                    number: self.number,
                    has_cr: memchr(b'\r', &self.buffer[self.held.clone()][..length]).is_some(),
                });
            }
            let start = self.held.start;
            self.held.start += end;
            self.consumed += end as u64;
            return Ok(Some(start..start + length));
        }
    }

    /// Moves the unfinished line to the front of the buffer and reads on behind it.
    fn fill(&mut self) -> io::Result<()> {
        self.buffer.copy_within(self.held.clone(), 0);
        self.held = 0..self.held.len();
        let count = loop {
            match self.source.read(&mut self.buffer[self.held.end..]) {
                Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
                other => break other?,
            }
        };
        self.held.end += count;
        self.ended = count == 0;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Returns one byte at a time, as a slow pipe may.
    struct Drip<'a>(&'a [u8]);

    impl Read for Drip<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
            let count = self.0.len().min(1).min(buffer.len());
            self.0.read(&mut buffer[..count])
        }
    }

    fn all(source: impl Read) -> Vec<(u64, String)> {
        let mut lines = Lines::new(source);
        let mut all = Vec::new();
        while let Ok(Some(line)) = lines.next_line() {
            let line = String::from_utf8(line.to_vec()).unwrap();
            all.push((lines.number(), line));
        }
        all
    }

    /// Given lines that end in either way, and empty lines, when they are read, then the line numbers are right.
    #[test]
    fn line_ends_and_empty_lines_keep_the_line_numbers_right() {
        let text = b"a\r\nb\n\n\r\nc";
        let expected = [(1, "a".to_owned()), (2, "b".to_owned()), (5, "c".to_owned())];
        assert_eq!(all(&text[..]), expected);
        assert_eq!(all(Drip(text)), expected);
    }

    #[test]
    fn a_line_without_an_end_is_refused_before_it_fills_the_memory() {
        let mut lines = Lines::new(io::repeat(b'x'));
        assert!(matches!(lines.next_line(), Err(NoLine::TooLong { number: 1, has_cr: false })));
        let mut lines = Lines::new(&[b'x'; LONGEST_LINE][..]);
        assert!(matches!(lines.next_line(), Ok(Some(line)) if line.len() == LONGEST_LINE));
    }
}
