//! The header of a slot, which says that the file in it is complete.

use crate::file::crc;

/// The length of a header, in bytes.
pub(crate) const HEADER_BYTES: usize = 16;

/// A header. It is written after the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Header {
    /// One more than that of the file before.
    pub(crate) sequence: u32,
    /// The length of the file, in bytes.
    pub(crate) length: u32,
    /// The CRC-32 of the file.
    pub(crate) crc: u32,
}

impl Header {
    /// The header of a file.
    pub(crate) fn of(sequence: u32, file: &[u8]) -> Self {
        Self { sequence, length: u32::try_from(file.len()).unwrap_or(u32::MAX), crc: crc(file) }
    }

    /// Its bytes: the three numbers, and the CRC-32 of their bytes.
    pub(crate) fn to_bytes(self) -> [u8; HEADER_BYTES] {
        let mut bytes = [0; HEADER_BYTES];
        let [numbers @ .., _, _, _, _] = &mut bytes;
        for (to, from) in numbers.chunks_exact_mut(4).zip([self.sequence, self.length, self.crc]) {
            to.copy_from_slice(&from.to_le_bytes());
        }
        let check = crc(numbers).to_le_bytes();
        if let Some(tail) = bytes.last_chunk_mut() {
            *tail = check;
        }
        bytes
    }

    /// The header in these bytes, where it was written completely.
    pub(crate) fn from_bytes(bytes: [u8; HEADER_BYTES]) -> Option<Self> {
        let number = |at: usize| {
            let four = bytes.as_chunks::<4>().0.get(at).copied()?;
            Some(u32::from_le_bytes(four))
        };
        let header = Self { sequence: number(0)?, length: number(1)?, crc: number(2)? };
        (header.to_bytes() == bytes).then_some(header)
    }

    /// Whether this header was written after the other. The number may wrap.
    pub(crate) const fn is_after(&self, other: &Self) -> bool {
        self.sequence.wrapping_sub(other.sequence).cast_signed() > 0
    }
}
