//! The critical sections of the libraries: the log and the USB driver must not be interrupted by the timer's interrupt,
//! which may log.
//!
//! They leave the pin interrupt on, and it must never enter one (`line.rs`). A section that masks all interrupts, such as
//! that of the chip's crate, makes an edge late by several microseconds, and its time measures a stick. The second core is
//! never started, so nothing else can run. Compiled, and not run on a board.

use cortex_m::asm;
use cortex_m::peripheral::NVIC;
use critical_section::{Impl, RawRestoreState, set_impl};
use rp2040_hal::pac::Interrupt::TIMER_IRQ_0;

struct WithoutTimer;

set_impl!(WithoutTimer);

// SAFETY: the loop and the timer's interrupt are all that enters a section, and neither can interrupt the other in it.
#[allow(unsafe_code)]
unsafe impl Impl for WithoutTimer {
    unsafe fn acquire() -> RawRestoreState {
        let was_on = NVIC::is_enabled(TIMER_IRQ_0);
        NVIC::mask(TIMER_IRQ_0);
        // The mask is in force from the next instruction on.
        asm::dsb();
        asm::isb();
        was_on
    }

    unsafe fn release(was_on: RawRestoreState) {
        if was_on {
            // SAFETY: it was on before the outermost section; inside a lock of the framework it was off, and stays off.
            unsafe { NVIC::unmask(TIMER_IRQ_0) }
        }
    }
}
