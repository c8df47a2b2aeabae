//! The memory of the simulated flash. A reset does not change it, as it does not change a real flash.

use core::cell::UnsafeCell;
use core::mem::MaybeUninit;
use core::sync::atomic::{AtomicBool, Ordering};

use trainer_box_rig::{FLASH_BYTES, Flash};

use crate::power::CUT;

/// What the first word is once the memory was erased. It can be anything when the board is powered on.
const IN_USE: u32 = 0xF1A5_4C0D;

struct Kept(UnsafeCell<MaybeUninit<Memory>>);

#[repr(C)]
struct Memory {
    mark: u32,
    bytes: [u8; FLASH_BYTES],
}

// SAFETY: `flash` gives the memory out once.
#[allow(unsafe_code)]
unsafe impl Sync for Kept {}

/// The start-up code leaves this section as it is.
#[allow(unsafe_code)]
#[unsafe(link_section = ".uninit.FLASH")]
static KEPT: Kept = Kept(UnsafeCell::new(MaybeUninit::uninit()));

static TAKEN: AtomicBool = AtomicBool::new(false);

/// The flash, once; erased when the board is powered on.
#[allow(unsafe_code)]
pub(crate) fn flash() -> Option<Flash<'static>> {
    if TAKEN.swap(true, Ordering::Relaxed) {
        return None;
    }
    // SAFETY: this is the only reference, and any bytes are a `Memory`. The emulator's memory has bytes from the start.
    let memory = unsafe { (*KEPT.0.get()).assume_init_mut() };
    if memory.mark != IN_USE {
        memory.bytes.fill(u8::MAX);
        memory.mark = IN_USE;
    }
    Some(Flash::new(&mut memory.bytes).with(&CUT))
}
