//! A state as one number of 128 bits. With 10^8 states the probability that any two share a number is below 10^-22 if
//! the numbers are as good as random; a search that keeps the numbers alone needs 16 bytes a state.

use std::hash::Hasher;

/// Two hashes of 64 bits with different factors, by multiplication and folding of the 128-bit product.
#[derive(Debug)]
pub(crate) struct Fingerprint([u64; 2]);

impl Default for Fingerprint {
    fn default() -> Self {
        Self([0x243F_6A88_85A3_08D3, 0x1319_8A2E_0370_7344]) // digits of pi
    }
}

impl Fingerprint {
    fn mix(&mut self, word: u64) {
        let factors = [0x9E37_79B9_7F4A_7C15, 0xD1B5_4A32_D192_ED03];
        for (half, factor) in self.0.iter_mut().zip(factors) {
            let product = u128::from(*half ^ word) * u128::from(factor | 1);
            #[allow(clippy::cast_possible_truncation)] // folds the two halves
            let folded = product as u64 ^ (product >> 64) as u64;
            *half = folded.rotate_left(23).wrapping_add(factor);
        }
    }

    pub(crate) fn all(&self) -> u128 {
        let [high, low] = self.0;
        u128::from(high) << 64 | u128::from(low)
    }
}

impl Hasher for Fingerprint {
    fn finish(&self) -> u64 {
        self.0[0]
    }

    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.mix(u64::from_le_bytes(word));
        }
    }

    fn write_u8(&mut self, i: u8) {
        self.mix(i.into());
    }
    fn write_u16(&mut self, i: u16) {
        self.mix(i.into());
    }
    fn write_i16(&mut self, i: i16) {
        self.mix(u64::from(i.cast_unsigned()));
    }
    fn write_u32(&mut self, i: u32) {
        self.mix(i.into());
    }
    fn write_u64(&mut self, i: u64) {
        self.mix(i);
    }
    fn write_usize(&mut self, i: usize) {
        self.mix(i as u64);
    }
    fn write_isize(&mut self, i: isize) {
        self.mix(i.cast_unsigned() as u64);
    }
}
