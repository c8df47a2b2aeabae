//! Numbers that are close to a guess, in few bits: Rice codes whose parameter follows the errors of the guesses.
//!
//! R. F. Rice, Some practical universal noiseless coding techniques, JPL Publication 79-22, 1979 (from memory). Writer
//! and reader run the same code, so they make the same guesses.

use super::bits::Bits;

/// The largest quotient of a Rice code; the value itself follows it.
const LARGEST: u32 = 15;

/// The mean size of the last errors, in sixteenths.
#[derive(Clone, Copy, Debug)]
pub(super) struct Errors(u32);

impl Errors {
    pub(super) const fn new() -> Self {
        Self(32)
    }

    const fn note(&mut self, error: i32) {
        self.0 = self.0.saturating_sub(self.0 >> 4).saturating_add(error.unsigned_abs());
    }

    /// The number of low bits of an error that are written as they are: a code is shortest where the rest is about
    /// one.
    const fn low_bits(self) -> u32 {
        // Errors of both signs are folded into one row of numbers, twice as large: 12 is 16 / 2 / ln 2, rounded.
        let twice = self.0 / 12;
        u32::BITS.saturating_sub(twice.leading_zeros())
    }

    /// Passes a value that is guessed. A value that is far off takes `width` bits besides the 15 of the mark; it must
    /// fit into them.
    pub(super) fn pass(&mut self, bits: &mut impl Bits, value: i32, guess: i32, width: u32) -> Option<i32> {
        let value = self.code(bits, value, guess, width)?;
        self.note(value.saturating_sub(guess));
        Some(value)
    }

    fn code(self, bits: &mut impl Bits, value: i32, guess: i32, width: u32) -> Option<i32> {
        let low = self.low_bits();
        let folded = fold(value.saturating_sub(guess));
        let quotient = (folded >> low).min(LARGEST);
        let mut passed = 0;
        // Ones, then a zero; after the mark there is no zero.
        while passed < LARGEST && bits.pass(u32::from(passed < quotient), 1)? == 1 {
            passed = passed.saturating_add(1);
        }
        if passed == LARGEST {
            return Some(bits.pass(value.cast_unsigned(), width)?.cast_signed());
        }
        let rest = bits.pass(folded, low)?;
        Some(guess.saturating_add(unfold(passed << low | rest)))
    }
}

/// 0, -1, 1, -2, 2 as 0, 1, 2, 3, 4.
const fn fold(number: i32) -> u32 {
    (number << 1 ^ number >> 31).cast_unsigned()
}

const fn unfold(folded: u32) -> i32 {
    (folded >> 1).cast_signed() ^ (folded & 1).cast_signed().wrapping_neg()
}

/// The widths of one channel, in microseconds: three guesses, and how good each was.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stick {
    last: i32,
    before: i32,
    /// The mean of the last few widths, in sixteenths.
    mean: i32,
    errors: [Errors; 3],
}

impl Stick {
    /// The bits of a width that was not guessed.
    const WIDTH: u32 = 12;

    pub(super) const fn new() -> Self {
        Self { last: 1_500, before: 1_500, mean: 24_000, errors: [Errors::new(); 3] }
    }

    /// Passes the next width, at most 4095 us.
    pub(super) fn pass(&mut self, bits: &mut impl Bits, width: u16) -> Option<u16> {
        // A stick that jitters is about where it was; one that rests is at its mean; one that moves goes on.
        let guesses = [
            self.last,
            self.mean.saturating_add(8) >> 4,
            self.last.saturating_mul(2).saturating_sub(self.before).clamp(0, 4_095),
        ];
        let mut best = (guesses[0], self.errors[0]);
        for (&guess, &errors) in guesses.iter().zip(&self.errors) {
            if errors.0 < best.1.0 {
                best = (guess, errors);
            }
        }
        let (guess, errors) = best;
        let width = errors.code(bits, width.into(), guess, Self::WIDTH)?;
        for (errors, guess) in self.errors.iter_mut().zip(guesses) {
            errors.note(width.saturating_sub(guess));
        }
        (self.before, self.last) = (self.last, width);
        self.mean = self.mean.saturating_add(width.saturating_sub(self.mean.saturating_add(8) >> 4).saturating_mul(4));
        u16::try_from(width).ok()
    }
}

#[cfg(test)]
mod tests {
    use seeded::Random;

    use super::*;
    use crate::black_box::bits::{Reader, Writer};

    /// Given a stick that rests, moves and jumps to every width, when its widths are packed, then they come back.
    #[test]
    fn every_width_comes_back() {
        extern crate std;
        let mut random = Random::new(2);
        let mut widths = std::vec::Vec::new();
        for width in 0..=4_095 {
            widths.extend([width, width, 4_095 - width, u16::try_from(random.within(0, 4_095)).expect("small")]);
        }
        let mut memory = std::vec![0; 200_000];
        let (mut writer, mut stick) = (Writer { memory: &mut memory, at: 0 }, Stick::new());
        assert!(widths.iter().all(|&width| stick.pass(&mut writer, width) == Some(width)));
        let end = writer.at;
        let (mut reader, mut stick) = (Reader { pieces: [(&memory, end), (&[], 0)], at: 0 }, Stick::new());
        assert!(widths.iter().all(|&width| stick.pass(&mut reader, 0) == Some(width)));
    }

    #[test]
    fn errors_of_both_signs_fold_into_one_row() {
        for (number, folded) in [(0, 0), (-1, 1), (1, 2), (-2, 3), (i32::MAX, u32::MAX - 1), (i32::MIN, u32::MAX)] {
            assert_eq!((fold(number), unfold(folded)), (folded, number));
        }
    }
}
