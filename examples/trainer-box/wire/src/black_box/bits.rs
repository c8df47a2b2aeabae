//! Bits in memory, written and read by the same code.

/// A place that bits pass through: a writer keeps the given bits and returns them, a reader returns the kept ones.
pub(super) trait Bits {
    /// Passes the lowest `width` bits, at most 32; `None` where there is no room, or nothing more to read.
    fn pass(&mut self, value: u32, width: u32) -> Option<u32>;
}

/// Writes bits, the lowest first, from this bit of the memory on.
#[derive(Debug)]
pub(super) struct Writer<'m> {
    pub(super) memory: &'m mut [u8],
    pub(super) at: u32,
}

/// Reads bits of two pieces of memory, one after the other: each with its number of bits.
#[derive(Clone, Debug)]
pub(super) struct Reader<'m> {
    pub(super) pieces: [(&'m [u8], u32); 2],
    pub(super) at: u32,
}

/// The lowest `width` bits.
const fn low(value: u32, width: u32) -> u32 {
    match 1_u32.checked_shl(width) {
        Some(above) => value & above.wrapping_sub(1),
        None => value,
    }
}

impl Bits for Writer<'_> {
    fn pass(&mut self, value: u32, width: u32) -> Option<u32> {
        let (mut left, mut rest) = (width, low(value, width));
        while left > 0 {
            let byte = self.memory.get_mut(usize::try_from(self.at >> 3).ok()?)?;
            let (used, free) = (self.at & 7, 8_u32.saturating_sub(self.at & 7));
            let kept = low(u32::from(*byte), used);
            *byte = u8::try_from((kept | rest << used) & 255).ok()?;
            let taken = left.min(free);
            (rest, left) = (rest >> taken, left.saturating_sub(taken));
            self.at = self.at.saturating_add(taken);
        }
        Some(low(value, width))
    }
}

impl Bits for Reader<'_> {
    fn pass(&mut self, _: u32, width: u32) -> Option<u32> {
        let [(first, bits), (second, more)] = self.pieces;
        let (memory, at) = if self.at < bits { (first, self.at) } else { (second, self.at.saturating_sub(bits)) };
        // A row is in one piece.
        let end = if self.at < bits { bits } else { more };
        if at.saturating_add(width) > end {
            return None;
        }
        let (mut value, mut got) = (0, 0);
        while got < width {
            let at = at.saturating_add(got);
            let byte = *memory.get(usize::try_from(at >> 3).ok()?)?;
            value |= (u32::from(byte) >> (at & 7)) << got;
            got = got.saturating_add(8_u32.saturating_sub(at & 7));
        }
        self.at = self.at.saturating_add(width);
        Some(low(value, width))
    }
}

#[cfg(test)]
mod tests {
    use seeded::Random;

    use super::*;

    /// Given values of random widths, when they are written into two pieces and read, then they are the same.
    #[test]
    fn bits_come_back_as_they_went() {
        extern crate std;
        let mut random = Random::new(1);
        let (mut pieces, mut ends, mut values) = ([[0xAA; 4_000], [0x55; 4_000]], [0; 2], std::vec::Vec::new());
        for (memory, end) in pieces.iter_mut().zip(&mut ends) {
            let mut writer = Writer { memory, at: 0 };
            for _ in 0..1_000 {
                let width = u32::try_from(random.within(0, 32)).expect("small");
                let value = u32::try_from(random.next() >> 32).expect("32 bits");
                assert_eq!(writer.pass(value, width), Some(low(value, width)));
                values.push((width, low(value, width)));
            }
            *end = writer.at;
        }
        let mut reader = Reader { pieces: [(&pieces[0], ends[0]), (&pieces[1], ends[1])], at: 0 };
        assert!(values.iter().all(|&(width, value)| reader.pass(0, width) == Some(value)));
        assert_eq!(reader.pass(0, 1), None);
    }

    #[test]
    fn a_full_memory_takes_no_more() {
        let mut writer = Writer { memory: &mut [0; 2], at: 0 };
        assert_eq!(writer.pass(u32::MAX, 16), Some(0xFFFF));
        assert_eq!(writer.pass(1, 1), None);
    }
}
