//! A simulated flash in RAM, since this board's own cannot be written. As in a real one, an erase sets every bit of a
//! block, and a write can only clear bits.

use embedded_storage::nor_flash::{ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash};
use embedded_storage::nor_flash::{check_erase, check_read, check_write};

/// The size of a block, in bytes.
const BLOCK: usize = 4096;

/// The size of the flash in bytes: the two slots of a stored plan.
pub const FLASH_BYTES: usize = 2 * BLOCK;

/// The flash, in memory that a reset does not change.
#[derive(Debug)]
pub struct Flash<'m>(&'m mut [u8; FLASH_BYTES]);

impl<'m> Flash<'m> {
    /// The flash in this memory. A new one has 0xFF in every byte.
    pub const fn new(memory: &'m mut [u8; FLASH_BYTES]) -> Self {
        Self(memory)
    }
}

impl ErrorType for Flash<'_> {
    type Error = NorFlashErrorKind;
}

impl ReadNorFlash for Flash<'_> {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(&self, offset, bytes.len())?;
        for (to, from) in bytes.iter_mut().zip(self.0.iter().skip(offset as usize)) {
            *to = *from;
        }
        Ok(())
    }

    fn capacity(&self) -> usize {
        FLASH_BYTES
    }
}

impl NorFlash for Flash<'_> {
    const WRITE_SIZE: usize = 256;
    const ERASE_SIZE: usize = BLOCK;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        check_erase(&self, from, to)?;
        for byte in self.0.iter_mut().take(to as usize).skip(from as usize) {
            *byte = u8::MAX;
        }
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(&self, offset, bytes.len())?;
        for (to, from) in self.0.iter_mut().skip(offset as usize).zip(bytes) {
            *to &= *from;
        }
        Ok(())
    }
}
