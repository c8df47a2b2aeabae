//! The RAM of the black box, which a reset leaves as it is: the start-up code clears only `.bss`. While the power is off
//! the RAM loses its content.

use core::mem::MaybeUninit;
use core::sync::atomic::{AtomicBool, Ordering};

use trainer_box_rig::Memory;

use crate::power;

/// Every byte after the power was off. On a real board it can be anything.
const LOST: u8 = 0xA5;

/// The memory with what it held before the reset; `None` after the first call.
#[allow(unsafe_code)]
pub(crate) fn memory() -> Option<&'static mut Memory> {
    // SAFETY: the section `.uninit` is RAM of the linker script that nothing else uses.
    #[unsafe(link_section = ".uninit.black_box")]
    static mut KEPT: MaybeUninit<Memory> = MaybeUninit::uninit();
    static TAKEN: AtomicBool = AtomicBool::new(false);
    let first = !TAKEN.swap(true, Ordering::Relaxed);
    if !first {
        return None;
    }
    if power::was_off() {
        // SAFETY: nobody has the memory yet. It is plain numbers, of which every content is a value.
        unsafe { (&raw mut KEPT).write_bytes(LOST, 1) };
    }
    // SAFETY: as above, and only the first caller gets the memory. The processor's RAM always has a content.
    Some(unsafe { (*(&raw mut KEPT)).assume_init_mut() })
}
