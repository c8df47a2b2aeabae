//! The trainer box on an emulated board: commands come over its serial line, answers go back. Resets are real: the
//! processor's own request, the watchdog, or the emulator's button, all of them through the reset vector.
#![no_std]
#![no_main]
#![deny(unsafe_code)]

mod registers;

use core::panic::PanicInfo;

use cortex_m::peripheral::SCB;
use trainer_box_rig::{COMMAND_BYTES, Command, READY, Rig};

use crate::registers::{Serial, Watchdog};

#[cortex_m_rt::entry]
fn main() -> ! {
    let watchdog = Watchdog::start();
    let serial = Serial::new();
    let mut rig = Rig::default();
    serial.write(&READY);
    let mut fed = true;
    loop {
        let mut bytes = [0; COMMAND_BYTES];
        for byte in &mut bytes {
            *byte = loop {
                if fed {
                    watchdog.feed();
                }
                if let Some(byte) = serial.read() {
                    break byte;
                }
            };
        }
        match Command::from_bytes(bytes) {
            // Whatever this is, the bench and the box no longer understand each other.
            None | Some(Command::Reset) => SCB::sys_reset(),
            Some(Command::Hang) => hang(),
            Some(command) => {
                if let Some(report) = rig.obey(command) {
                    // Time stands still between two commands; what the box said of the watchdog goes on.
                    fed = report.step.as_ref().is_none_or(|step| step.fed);
                    serial.write(&report.to_bytes());
                }
            }
        }
    }
}

/// Until the watchdog bites.
fn hang() -> ! {
    loop {
        cortex_m::asm::nop();
    }
}

/// A panic is a hang: the watchdog resets the box, and the bench finds a reset that nobody asked for.
#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    hang()
}
