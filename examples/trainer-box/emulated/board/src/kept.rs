//! The RAM of the black box, which a reset leaves as it is: the start-up code clears only `.bss`.

use core::mem::MaybeUninit;
use core::sync::atomic::{AtomicBool, Ordering};

use trainer_box_rig::Memory;

/// The memory with what it held before the reset; `None` after the first call.
#[allow(unsafe_code)]
pub(crate) fn memory() -> Option<&'static mut Memory> {
    // SAFETY: the section `.uninit` is RAM of the linker script that nothing else uses.
    #[unsafe(link_section = ".uninit.black_box")]
    static mut KEPT: MaybeUninit<Memory> = MaybeUninit::uninit();
    static TAKEN: AtomicBool = AtomicBool::new(false);
    let first = !TAKEN.swap(true, Ordering::Relaxed);
    // SAFETY: only the first caller gets the memory. It is plain numbers, of which every content is a value, and the
    // processor's RAM always has a content.
    first.then(|| unsafe { (*(&raw mut KEPT)).assume_init_mut() })
}
