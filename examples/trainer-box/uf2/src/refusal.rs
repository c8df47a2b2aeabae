//! Why an image is refused.

use std::fmt;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The file is not a 32-bit little-endian ELF file for an Arm processor.
    NotAnImage,
    /// The file ends before the bytes that its header names.
    CutShort,
    /// Bytes of a segment that begins at this address are not in the flash.
    NotInFlash(u32),
    /// Two segments have bytes for this address.
    Overlap(u32),
    /// There is no boot code at the beginning of the flash.
    NoBootCode,
    /// The check value of the boot code, and the one that its bytes give.
    BootCode { found: u32, computed: u32 },
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotAnImage => write!(f, "is not a linked image for an Arm processor: give the file that cargo built"),
            Self::CutShort => write!(f, "ends too early: build the image again"),
            Self::NotInFlash(address) => write!(
                f,
                "has a segment at {address:#010x} that leaves the flash of an image (0x10000000 to 0x101fdfff): check memory.x"
            ),
            Self::Overlap(address) => write!(f, "has two segments with bytes for {address:#010x}: check memory.x"),
            Self::NoBootCode => {
                write!(f, "has no boot code in the first 256 bytes of the flash (0x10000000): check .boot2 in memory.x")
            }
            Self::BootCode { found, computed } => write!(
                f,
                "has boot code with the check value {found:#010x}, and its bytes give {computed:#010x}: \
                 the board would not start it. Build the image again"
            ),
        }
    }
}

impl std::error::Error for Refusal {}
