//! The RAM of the black box, which a reset leaves as it is.
//!
//! The start-up code clears only `.bss`, and the boot ROM keeps the RAM over a reset by the watchdog or by the RUN pin (data
//! sheet of the RP2040, from memory). Compiled, and not run on a board: no reset was tried.

use core::mem::MaybeUninit;
use core::sync::atomic::Ordering;

use portable_atomic::AtomicBool;
use trainer_box_wire::BlackBoxMemory;

/// The room for the time before a lesson, twice, and for the lesson, in bytes: 200 KiB with what describes them.
pub(crate) const LEAD: usize = 8 * 1_024;
pub(crate) const BODY: usize = 200 * 1_024 - 2 * LEAD - 96;

/// The memory of the black box.
pub(crate) type Memory = BlackBoxMemory<LEAD, BODY>;

const _: () = assert!(size_of::<Memory>() <= 200 * 1_024, "the stack needs the rest");

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
