//! A file on its way to the computer or from it.

use heapless::Vec;

use crate::text::Line;

/// The longest file, in bytes.
pub const LONGEST_FILE: usize = 1_536;

/// The bytes of one line.
const BYTES: usize = 32;

/// A file that goes to the computer, line by line.
#[derive(Clone, Debug)]
pub(crate) struct Sending {
    bytes: Vec<u8, LONGEST_FILE>,
    /// The next line: the first is the header, and the one after the last bytes is the end.
    place: Option<usize>,
}

impl Sending {
    /// `None` where it is too long.
    pub(crate) fn of(bytes: &[u8]) -> Option<Self> {
        Some(Self { bytes: Vec::from_slice(bytes).ok()?, place: None })
    }

    /// The next line without its end, and whether it is the last.
    pub(crate) fn line(&self) -> (Line, bool) {
        let mut line = Line::new();
        let Some(place) = self.place else {
            line.text("# file ");
            line.number(u32::try_from(self.bytes.len()).unwrap_or(u32::MAX));
            return (line, false);
        };
        let left = self.bytes.get(place..).unwrap_or_default();
        if left.is_empty() {
            line.text("# end");
            return (line, true);
        }
        line.text("= ");
        left.iter().take(BYTES).for_each(|&byte| line.hex_byte(byte));
        (line, false)
    }

    /// The line was sent.
    pub(crate) fn go_on(&mut self) {
        self.place = Some(self.place.map_or(0, |place| place.saturating_add(BYTES).min(self.bytes.len())));
    }
}

/// A file that comes from the computer.
#[derive(Clone, Debug)]
pub(crate) struct Receiving {
    pub(crate) bytes: Vec<u8, LONGEST_FILE>,
    pub(crate) length: usize,
}

/// Why digits were refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum BadDigits {
    /// Not pairs of hexadecimal digits.
    NoHex,
    /// More bytes than were announced.
    TooMany,
}

impl Receiving {
    pub(crate) const fn new(length: usize) -> Self {
        Self { bytes: Vec::new(), length }
    }

    /// Takes a line of hexadecimal digits, whole or not at all.
    pub(crate) fn take(&mut self, digits: &[u8]) -> Result<(), BadDigits> {
        let (pairs, rest) = digits.as_chunks::<2>();
        if !rest.is_empty() || pairs.is_empty() || !digits.iter().all(u8::is_ascii_hexdigit) {
            return Err(BadDigits::NoHex);
        }
        if self.bytes.len().saturating_add(pairs.len()) > self.length {
            return Err(BadDigits::TooMany);
        }
        for &[high, low] in pairs {
            let byte = value(high) << 4 | value(low);
            self.bytes.push(byte).map_err(|_| BadDigits::TooMany)?;
        }
        Ok(())
    }

    pub(crate) fn is_complete(&self) -> bool {
        self.bytes.len() == self.length
    }
}

/// The value of a hexadecimal digit.
const fn value(digit: u8) -> u8 {
    match digit {
        b'0'..=b'9' => digit.wrapping_sub(b'0'),
        b'a'..=b'f' => digit.wrapping_sub(b'a').wrapping_add(10),
        _ => digit.wrapping_sub(b'A').wrapping_add(10) & 15,
    }
}

#[cfg(test)]
mod tests {
    extern crate std;
    use std::vec::Vec as All;

    use super::*;

    /// Given files of every length, when each is sent and its lines are received, then it is the same.
    #[test]
    fn a_file_comes_back_as_it_went() {
        for length in 0..=LONGEST_FILE {
            let bytes: All<u8> = (0..length).map(|place| (place * 37 % 256).try_into().expect("a byte")).collect();
            let (mut sending, mut receiving) = (Sending::of(&bytes).expect("fits"), Receiving::new(length));
            loop {
                let (line, last) = sending.line();
                let line = line.end();
                assert!(line.len() <= crate::reader::LONGEST_COMMAND);
                if let Some(digits) = line.strip_prefix(b"= ") {
                    assert_eq!(receiving.take(digits.trim_ascii()), Ok(()));
                }
                if last {
                    break;
                }
                sending.go_on();
            }
            assert!(receiving.is_complete() && receiving.bytes == bytes[..]);
        }
        assert!(Sending::of(&[0; LONGEST_FILE + 1]).is_none());
    }

    #[test]
    fn bad_digits_are_refused_whole() {
        let mut receiving = Receiving::new(2);
        for digits in [&b""[..], b"0", b"0g", b"+1", b"00 11"] {
            assert_eq!(receiving.take(digits), Err(BadDigits::NoHex), "{digits:?}");
        }
        assert_eq!(receiving.take(b"000000"), Err(BadDigits::TooMany));
        assert_eq!((receiving.take(b"aB"), receiving.take(b"12")), (Ok(()), Ok(())));
        assert_eq!(receiving.bytes, [0xAB, 0x12]);
        assert_eq!(receiving.take(b"00"), Err(BadDigits::TooMany));
    }
}
