//! The last two sectors of the flash, which keep the stored plan. The linker script leaves them to this file.
//!
//! While the chip erases or writes, the processor cannot read its program from the flash. So interrupts are masked, and
//! [`change`] runs from RAM and calls only the functions of the chip's boot ROM (data sheet of the RP2040, chapter on the
//! boot ROM). A sector takes 45 ms and a page 1 ms, at most 400 ms and 3 ms (data sheets of common flash chips of this
//! size, from memory). The second core is never started, and DMA is not used.

use core::mem::transmute;
use core::ptr;

use embedded_storage::nor_flash::{ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash};
use embedded_storage::nor_flash::{check_erase, check_read, check_write};
use rp2040_hal::rom_data;

/// The size of the smallest flash of a board with this chip, of a sector and of a page, in bytes.
const SIZE: usize = 2 * 1024 * 1024;
const SECTOR: usize = 4096;
const PAGE: usize = 256;

/// Where the processor sees the flash. The boot code, which makes it readable, is in its first 256 bytes.
const SEEN_AT: usize = 0x1000_0000;
const BOOT_WORDS: usize = 64;

/// Where the last two sectors begin.
pub(crate) const FIRST: u32 = (SIZE - 2 * SECTOR) as u32;

/// The flash: readable as a whole, writable from [`FIRST`] on.
#[derive(Debug)]
pub(crate) struct Flash;

/// The functions that work while the flash cannot be read.
struct Calls {
    connect: unsafe extern "C" fn(),
    leave_reading: unsafe extern "C" fn(),
    erase: unsafe extern "C" fn(u32, usize, u32, u8),
    program: unsafe extern "C" fn(u32, *const u8, usize),
    flush: unsafe extern "C" fn(),
    read_again: unsafe extern "C" fn(),
}

/// Erases a sector, or writes a page. `page` is null for an erase.
///
/// # Safety
/// Interrupts are masked; `at` is a sector or page without a part of the program; everything that is pointed to is in RAM
/// or ROM.
#[allow(unsafe_code)]
#[inline(never)]
#[unsafe(link_section = ".data.change_flash")]
unsafe extern "C" fn change(calls: &Calls, at: u32, page: *const u8) {
    // SAFETY: the order of the ROM's own description: connect, leave the reading mode, change, flush the cache, read again.
    unsafe {
        (calls.connect)();
        (calls.leave_reading)();
        if page.is_null() {
            (calls.erase)(at, SECTOR, 1 << 31, 0); // by sectors only: there is no block of this size
        } else {
            (calls.program)(at, page, PAGE);
        }
        (calls.flush)();
        (calls.read_again)();
    }
}

/// Erases the sector at this address, or writes a page there.
#[allow(unsafe_code)]
fn change_at(at: u32, page: Option<&[u8; PAGE]>) -> Result<(), NorFlashErrorKind> {
    if at < FIRST {
        return Err(NorFlashErrorKind::OutOfBounds); // the program's own sectors
    }
    // The bytes may be in the flash: these copies are on the stack, in RAM.
    let page = page.copied();
    let mut boot = [0_u32; BOOT_WORDS];
    for (word, from) in boot.iter_mut().zip((SEEN_AT..).step_by(4)) {
        // SAFETY: the first 256 bytes of the flash.
        *word = unsafe { ptr::read_volatile(from as *const u32) };
    }
    let calls = Calls {
        connect: rom_data::connect_internal_flash::ptr(),
        leave_reading: rom_data::flash_exit_xip::ptr(),
        erase: rom_data::flash_range_erase::ptr(),
        program: rom_data::flash_range_program::ptr(),
        flush: rom_data::flash_flush_cache::ptr(),
        // SAFETY: the boot code can run from any address and is called as a function of Thumb code (bit 0), as the ROM
        // calls it.
        read_again: unsafe { transmute::<usize, unsafe extern "C" fn()>(boot.as_ptr() as usize + 1) },
    };
    cortex_m::interrupt::free(|_| {
        // SAFETY: interrupts are masked, the address was checked, and all of it is on the stack.
        unsafe { change(&calls, at, page.as_ref().map_or(ptr::null(), |page| page.as_ptr())) }
    });
    // The copy of the boot code is in use until here.
    core::hint::black_box(&boot);
    Ok(())
}

impl ErrorType for Flash {
    type Error = NorFlashErrorKind;
}

#[allow(unsafe_code)]
impl ReadNorFlash for Flash {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(&self, offset, bytes.len())?;
        for (byte, at) in bytes.iter_mut().zip(SEEN_AT + offset as usize..) {
            // SAFETY: the flash is seen here in all its size, as was checked. It is read each time, since it changes.
            *byte = unsafe { ptr::read_volatile(at as *const u8) };
        }
        Ok(())
    }

    fn capacity(&self) -> usize {
        SIZE
    }
}

impl NorFlash for Flash {
    const WRITE_SIZE: usize = PAGE;
    const ERASE_SIZE: usize = SECTOR;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        check_erase(&self, from, to)?;
        (from..to).step_by(SECTOR).try_for_each(|at| change_at(at, None))
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(&self, offset, bytes.len())?;
        let pages = bytes.as_chunks::<PAGE>().0;
        pages.iter().zip((offset..).step_by(PAGE)).try_for_each(|(page, at)| change_at(at, Some(page)))
    }
}
