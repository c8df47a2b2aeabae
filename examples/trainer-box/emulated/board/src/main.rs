//! The trainer box on an emulated board. Commands of the bench come over one serial line, and answers go back; the
//! other line is the wire to a computer. Resets are real: by the processor's own request, the watchdog or the
//! emulator's button, all through the reset vector.
#![no_std]
#![no_main]
#![deny(unsafe_code)]

mod flash;
mod kept;
mod power;
mod registers;

use core::panic::PanicInfo;

use cortex_m::peripheral::SCB;
use trainer_box_rig::{COMMAND_BYTES, Command, READY, Rig};
use trainer_box_store::Slots;

use crate::registers::{Serial, Watchdog};

/// The most bytes of the wire that are passed on at a time, so that no flood keeps the box from its commands.
const PASSED: usize = 32;

#[cortex_m_rt::entry]
fn main() -> ! {
    Watchdog::start();
    registers::clock_serial_lines();
    let (serial, wire) = (Serial::BENCH, Serial::WIRE);
    serial.begin();
    wire.begin();
    let (Some(flash), Some(memory)) = (flash::flash(), kept::memory()) else { hang() };
    let mut slots = Slots::new(flash, 0);
    let start = trainer_box_store::at_start(&mut slots);
    let mut rig = Rig::new(&start);
    rig.connect(memory, slots);
    serial.write(&READY);
    let mut fed = true;
    loop {
        let mut bytes = [0; COMMAND_BYTES];
        for byte in &mut bytes {
            *byte = loop {
                if fed {
                    Watchdog::feed();
                }
                if let Some(byte) = serial.read() {
                    break byte;
                }
                pass_on(&mut rig, &wire);
            };
        }
        match Command::from_bytes(bytes) {
            // An unknown command means that bench and box are out of step: start again.
            None | Some(Command::Reset) => SCB::sys_reset(),
            Some(Command::Hang) => hang(),
            Some(Command::PowerOff) => power::off(),
            Some(Command::Cut(after)) => power::CUT.after(after),
            Some(command) => {
                if let Some(report) = rig.obey(command) {
                    // Between two commands the box does not run, so its last decision on the watchdog stays in force.
                    fed = report.step.as_ref().is_none_or(|step| step.fed);
                    serial.write(&report.to_bytes());
                }
                pass_on(&mut rig, &wire);
            }
        }
    }
}

/// Passes a few bytes between wire and box, and never waits.
fn pass_on(rig: &mut Rig<'_>, wire: &Serial) {
    for _ in 0..PASSED {
        if rig.wants_bytes()
            && let Some(byte) = wire.read()
        {
            rig.receive(byte);
        }
        if wire.has_room()
            && let Some(byte) = rig.next_byte()
        {
            wire.send(byte);
        }
    }
}

/// Loops until the watchdog resets the board.
fn hang() -> ! {
    loop {
        cortex_m::asm::nop();
    }
}

/// A panic hangs: the watchdog resets the box, and the bench detects the unexpected reset.
#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    hang()
}
