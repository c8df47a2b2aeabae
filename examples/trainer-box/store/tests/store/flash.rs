//! A simulated flash that loses its power in any operation.

use embedded_storage::nor_flash::{ErrorType, NorFlash, NorFlashError, NorFlashErrorKind, ReadNorFlash};
use seeded::Random;

/// The size of an erase block, in bytes.
pub(crate) const BLOCK: usize = 4_096;

/// The error of a flash without power.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Off;

impl NorFlashError for Off {
    fn kind(&self) -> NorFlashErrorKind {
        NorFlashErrorKind::Other
    }
}

/// When and how the power is cut.
#[derive(Clone, Debug)]
pub(crate) struct Cut {
    /// Number of erases and writes before the one that is cut.
    pub(crate) after: usize,
    /// How much of that one is done.
    pub(crate) half: Half,
}

/// How much of the operation that is cut is done.
#[derive(Clone, Debug)]
pub(crate) enum Half {
    /// The first bytes, completely.
    First(usize),
    /// Each bit or not, at random; an erase leaves bytes of 0 too, since a flash first writes 0 to every bit.
    Bits(Random),
}

/// Three blocks, the first of which is never to be touched.
#[derive(Clone, Debug)]
pub(crate) struct Flash {
    pub(crate) bytes: Vec<u8>,
    pub(crate) cut: Option<Cut>,
    /// Bits that cannot be written, by address.
    pub(crate) stuck: Option<usize>,
    pub(crate) off: bool,
    /// Number of erases and writes so far.
    pub(crate) operations: usize,
}

impl Flash {
    /// A new flash, erased.
    pub(crate) fn new() -> Self {
        Self { bytes: vec![0xFF; 3 * BLOCK], cut: None, stuck: None, off: false, operations: 0 }
    }

    /// The same flash after the power is back.
    pub(crate) fn powered(mut self) -> Self {
        (self.off, self.cut, self.operations) = (false, None, 0);
        self
    }

    /// Changes bytes from an address on: each from its present value and its number. The power may be cut in it.
    fn change(
        &mut self,
        from: usize,
        length: usize,
        whole: impl Fn(u8, usize) -> u8,
        half: impl Fn(u8, usize, &mut Random) -> u8,
    ) -> Result<(), Off> {
        if self.off {
            return Err(Off);
        }
        let bytes = &mut self.bytes[from..from + length];
        let numbered = bytes.iter_mut().enumerate();
        match &mut self.cut {
            Some(cut) if cut.after == self.operations => {
                self.off = true;
                match &mut cut.half {
                    Half::First(done) => numbered.take(*done).for_each(|(at, byte)| *byte = whole(*byte, at)),
                    Half::Bits(random) => numbered.for_each(|(at, byte)| *byte = half(*byte, at, random)),
                }
                Err(Off)
            }
            _ => {
                numbered.for_each(|(at, byte)| *byte = whole(*byte, at));
                self.operations += 1;
                Ok(())
            }
        }
    }
}

impl ErrorType for Flash {
    type Error = Off;
}

impl ReadNorFlash for Flash {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), Off> {
        let from = offset as usize;
        bytes.copy_from_slice(&self.bytes[from..from + bytes.len()]);
        if self.off { Err(Off) } else { Ok(()) }
    }

    fn capacity(&self) -> usize {
        self.bytes.len()
    }
}

impl NorFlash for Flash {
    const WRITE_SIZE: usize = 256;
    const ERASE_SIZE: usize = BLOCK;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), Off> {
        let (from, length) = (from as usize, (to - from) as usize);
        assert!(from >= BLOCK && from.is_multiple_of(BLOCK) && length == BLOCK, "one block, and not the first");
        self.change(
            from,
            length,
            |_, _| 0xFF,
            |byte, _, random| match random.below(4) {
                0 => byte,
                1 => byte & random.next().to_le_bytes()[0],
                2 => random.next().to_le_bytes()[0],
                _ => 0xFF,
            },
        )
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), Off> {
        let from = offset as usize;
        assert!(from >= BLOCK && from.is_multiple_of(256) && bytes.len().is_multiple_of(256), "whole pages");
        let before = &self.bytes[from..from + bytes.len()];
        assert!(before.iter().all(|byte| *byte == 0xFF) || self.off, "a page is written once after an erase");
        let stuck = self.stuck;
        let kept = |at: usize| u8::from(stuck == Some(from + at));
        self.change(
            from,
            bytes.len(),
            |byte, at| byte & (bytes[at] | kept(at)),
            |byte, at, random| byte & (bytes[at] | random.next().to_le_bytes()[0]),
        )
    }
}
