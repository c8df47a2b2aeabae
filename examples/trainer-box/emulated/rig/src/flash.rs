//! A simulated flash in RAM, since this board's own cannot be written. As in a real one, an erase sets every bit of a
//! block, and a write can only clear bits.

use core::sync::atomic::{AtomicU32, Ordering};

use embedded_storage::nor_flash::{ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash};
use embedded_storage::nor_flash::{check_erase, check_read, check_write};

/// The size of a block, in bytes.
const BLOCK: usize = 4096;

/// The size of the flash in bytes: the two slots of a stored plan.
pub const FLASH_BYTES: usize = 2 * BLOCK;

/// The flash, in memory that a reset does not change.
#[derive(Debug)]
pub struct Flash<'m> {
    memory: &'m mut [u8; FLASH_BYTES],
    cut: Option<&'m Cut>,
}

/// A power cut in the middle of an erase or a write, half of which is done then.
#[derive(Debug)]
pub struct Cut {
    /// Erases and writes until then, with the one that is cut; 0 for no cut.
    left: AtomicU32,
    off: fn() -> !,
}

impl Cut {
    /// No cut yet. `off` turns the power off.
    pub const fn new(off: fn() -> !) -> Self {
        Self { left: AtomicU32::new(0), off }
    }

    /// Cuts the power after this number of whole erases and writes.
    pub fn after(&self, whole: u8) {
        self.left.store(u32::from(whole).saturating_add(1), Ordering::Relaxed);
    }

    /// Counts an erase or a write. Says whether it is the one that is cut.
    fn is_due(&self) -> bool {
        let left = self.left.load(Ordering::Relaxed);
        self.left.store(left.saturating_sub(1), Ordering::Relaxed);
        left == 1
    }
}

impl<'m> Flash<'m> {
    /// The flash in this memory. A new one has 0xFF in every byte.
    pub const fn new(memory: &'m mut [u8; FLASH_BYTES]) -> Self {
        Self { memory, cut: None }
    }

    /// The same flash, of which the power may be cut.
    #[must_use]
    pub const fn with(self, cut: &'m Cut) -> Self {
        Self { cut: Some(cut), ..self }
    }

    /// Changes these bytes; where the power is cut, the first half of them.
    fn change(&mut self, from: usize, bytes: usize, change: impl FnMut(&mut u8)) {
        let cut = self.cut.filter(|cut| cut.is_due());
        let bytes = if cut.is_some() { bytes / 2 } else { bytes };
        self.memory.iter_mut().skip(from).take(bytes).for_each(change);
        if let Some(cut) = cut {
            (cut.off)();
        }
    }
}

impl ErrorType for Flash<'_> {
    type Error = NorFlashErrorKind;
}

impl ReadNorFlash for Flash<'_> {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(&self, offset, bytes.len())?;
        for (to, from) in bytes.iter_mut().zip(self.memory.iter().skip(offset as usize)) {
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
        self.change(from as usize, to.saturating_sub(from) as usize, |byte| *byte = u8::MAX);
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(&self, offset, bytes.len())?;
        let mut from = bytes.iter();
        self.change(offset as usize, bytes.len(), |to| *to &= from.next().unwrap_or(&u8::MAX));
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use std::panic::{AssertUnwindSafe, catch_unwind};

    use super::*;

    /// Given a flash whose power is cut after one whole operation, when it is erased and written, then the write is half
    /// done, and the power is off.
    #[test]
    fn a_power_cut_leaves_half_a_write() {
        let cut = Cut::new(|| panic!("off"));
        let mut memory = [0; FLASH_BYTES];
        let mut flash = Flash::new(&mut memory).with(&cut);
        cut.after(1);
        assert_eq!(flash.erase(0, 4096), Ok(()));
        let write = AssertUnwindSafe(|| flash.write(256, &[7; 256]));
        assert!(catch_unwind(write).is_err());
        assert_eq!((memory[255], memory[256], memory[383], memory[384], memory[4096]), (u8::MAX, 7, 7, u8::MAX, 0));
    }

    extern crate std;
}
