//! The power switch of the board, which the bench turns. While the power is off, the board takes nothing in and sends
//! nothing. The flash keeps its content; the RAM of the black box does not.

use core::sync::atomic::{AtomicU32, Ordering};

use trainer_box_rig::{Cut, OFF, POWER_ON};

use cortex_m::peripheral::SCB;

use crate::registers::{Serial, Watchdog};

/// A power cut in the middle of an erase or a write of the flash.
pub(crate) static CUT: Cut = Cut::new(off);

/// What the word has after the power was off. It can be anything when the emulator starts.
const WAS: u32 = 0x0FF0_0FF0;

/// The start-up code leaves this section as it is.
#[allow(unsafe_code)]
#[unsafe(link_section = ".uninit.power")]
static WORD: AtomicU32 = AtomicU32::new(0);

/// Turns the power off, and on again when the bench says so.
pub(crate) fn off() -> ! {
    WORD.store(WAS, Ordering::Relaxed);
    Serial::BENCH.write(&OFF);
    let mut in_a_row = 0;
    while in_a_row < POWER_ON.len() {
        Watchdog::feed();
        let _ = Serial::WIRE.read(); // it goes nowhere
        if let Some(byte) = Serial::BENCH.read() {
            in_a_row = if POWER_ON.first() == Some(&byte) { in_a_row + 1 } else { 0 };
        }
    }
    SCB::sys_reset()
}

/// Whether the power was off before this start.
pub(crate) fn was_off() -> bool {
    WORD.swap(0, Ordering::Relaxed) == WAS
}
