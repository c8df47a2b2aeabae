//! One line of text: numbers without division of 64 bits and without floats.

use core::fmt;

use handback::Deflection;
use heapless::Vec;

/// The longest line: a row of 16 axes with its longest numbers has 360 bytes.
pub(crate) const LONGEST: usize = 400;

/// A line that is being written. What does not fit is left out, and the line then has no end.
#[derive(Clone, Debug, Default)]
pub(crate) struct Line(Vec<u8, LONGEST>);

impl Line {
    pub(crate) const fn new() -> Self {
        Self(Vec::new())
    }

    /// The line with its end.
    pub(crate) fn end(mut self) -> Vec<u8, LONGEST> {
        self.byte(b'\n');
        self.0
    }

    pub(crate) fn byte(&mut self, byte: u8) {
        let _ = self.0.push(byte);
    }

    pub(crate) fn text(&mut self, text: &str) {
        text.bytes().for_each(|byte| self.byte(byte));
    }

    /// A whole number in decimal.
    pub(crate) fn number(&mut self, number: u32) {
        self.digits(number, 1);
    }

    /// A whole number in decimal, with at least this many digits.
    pub(crate) fn digits(&mut self, number: u32, least: usize) {
        let (mut digits, mut left) = (Vec::<u8, 10>::new(), number);
        while left > 0 || digits.len() < least {
            let tenth = left / 10;
            let digit = u8::try_from(left.wrapping_sub(tenth.wrapping_mul(10))).unwrap_or_default();
            if digits.push(b'0'.wrapping_add(digit)).is_err() {
                break;
            }
            left = tenth;
        }
        digits.iter().rev().for_each(|&digit| self.byte(digit));
    }

    /// Eight hexadecimal digits.
    pub(crate) fn hex_word(&mut self, word: u32) {
        word.to_be_bytes().into_iter().for_each(|byte| self.hex_byte(byte));
    }

    pub(crate) fn hex_byte(&mut self, byte: u8) {
        for digit in [byte >> 4, byte & 15] {
            self.byte(if digit < 10 { b'0'.wrapping_add(digit) } else { b'a'.wrapping_add(digit).wrapping_sub(10) });
        }
    }

    /// A deflection in points, with as few of three decimals as read back to the same bits: three are finer than a
    /// unit of 2^-14, and the zeros at the end say nothing.
    pub(crate) fn points(&mut self, at: Deflection) {
        let bits = i32::from(at.to_bits());
        if bits < 0 {
            self.byte(b'-');
        }
        // 100 points are 2^14 units: 1000 * 100 / 2^14 = 3125 / 512. The product is below 2^27.
        let thousandths = bits.unsigned_abs().saturating_mul(3_125).saturating_add(256) >> 9;
        let whole = thousandths / 1_000;
        let mut part = thousandths.wrapping_sub(whole.wrapping_mul(1_000));
        self.number(whole);
        if part == 0 {
            return;
        }
        let mut decimals = 3_usize;
        while part.is_multiple_of(10) {
            (part, decimals) = (part / 10, decimals.saturating_sub(1));
        }
        self.byte(b'.');
        self.digits(part, decimals);
    }
}

impl fmt::Write for Line {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.text(text);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    extern crate std;
    use std::string::String;

    use super::*;

    fn written(write: impl FnOnce(&mut Line)) -> String {
        let mut line = Line::new();
        write(&mut line);
        String::from_utf8(line.0.to_vec()).expect("ASCII")
    }

    /// `round(points * 163.84)`, halves away from zero, as REFERENCE.md of the lesson tool says; in whole numbers.
    fn read(text: &str) -> i64 {
        let (negative, digits) = text.strip_prefix('-').map_or((false, text), |digits| (true, digits));
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let size = whole.parse::<i64>().expect("digits") * 10_000
            + std::format!("{part:0<4}").parse::<i64>().expect("up to four decimals");
        let bits = (2 * size * 16_384 + 1_000_000) / 2_000_000;
        if negative { -bits } else { bits }
    }

    #[test]
    fn every_deflection_reads_back_to_the_same_bits() {
        for bits in i16::MIN..=i16::MAX {
            let text = written(|line| line.points(Deflection::from_bits(bits)));
            assert_eq!(read(&text), i64::from(bits), "{text}");
            assert!(!text.contains('.') || !text.ends_with('0'), "{text}");
        }
    }

    #[test]
    fn points_are_written_as_people_write_them() {
        for (bits, text) in [(0, "0"), (16_384, "100"), (-8_192, "-50"), (1, "0.006"), (-1, "-0.006"), (246, "1.501")] {
            assert_eq!(written(|line| line.points(Deflection::from_bits(bits))), text);
        }
        assert_eq!(written(|line| line.points(Deflection::from_bits(i16::MIN))), "-200");
    }

    #[test]
    fn numbers_are_written_whole() {
        for number in [0, 9, 10, 4_294_967_295] {
            assert_eq!(written(|line| line.number(number)), std::format!("{number}"));
        }
        assert_eq!(written(|line| line.digits(42, 6)), "000042");
        assert_eq!(written(|line| line.hex_word(0x00CB_F439)), "00cbf439");
    }
}
