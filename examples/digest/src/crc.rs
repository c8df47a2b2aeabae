//! The digest: CRC-32/ISO-HDLC.

/// CRC-32/ISO-HDLC of the bytes given so far: polynomial 0x04C11DB7, reflected, all ones before and after.
///
/// ```
/// // The check value of the catalogue of parametrised CRC algorithms (Greg Cook), entry CRC-32/ISO-HDLC.
/// let mut crc = outcome_digest::Crc32::new();
/// crc.add(b"123456789");
/// assert_eq!(crc.value(), 0xCBF4_3926);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Crc32(u32);

/// The change of the register for each value of its lowest eight bits.
const TABLE: [u32; 256] = {
    let mut table = [0; 256];
    let mut byte: u32 = 0;
    while byte < 256 {
        let mut left = byte;
        let mut bit = 0;
        while bit < 8 {
            left = if left & 1 == 1 { (left >> 1) ^ 0xEDB8_8320 } else { left >> 1 };
            bit += 1;
        }
        table[byte as usize] = left;
        byte += 1;
    }
    table
};

impl Crc32 {
    /// The checksum of no bytes.
    pub const fn new() -> Self {
        Self(u32::MAX)
    }

    /// Adds these bytes.
    pub fn add(&mut self, bytes: &[u8]) {
        for byte in bytes {
            let [low, ..] = self.0.to_le_bytes();
            self.0 = (self.0 >> 8) ^ TABLE[usize::from(low ^ byte)];
        }
    }

    /// The checksum.
    pub const fn value(self) -> u32 {
        !self.0
    }
}

impl Default for Crc32 {
    fn default() -> Self {
        Self::new()
    }
}
