//! The parts that the emulated board and the bench share, so that they cannot differ: the [plan](plan::PLAN) of the
//! box, the [commands](Command) to it, its [answers](Report), the [flash](Flash) for another plan, and the [box](Rig)
//! itself.
//!
//! The board adds only two serial lines: one for the bench, and the wire to a computer. Time, edges, switch and button come over the line of the bench, so every run is the same,
//! whatever the speed of the emulator.
#![no_std]
#![forbid(unsafe_code)]

mod check;
mod command;
mod flash;
mod pins;
pub mod plan;
mod reader;
mod report;
mod rig;
mod talk;
mod writer;

#[cfg(feature = "broken")]
pub mod broken;

pub use command::{COMMAND_BYTES, Command, Hand};
pub use flash::{Cut, FLASH_BYTES, Flash};
pub use report::{OFF, POWER_ON, READY, Report, Stepped, Taken};
pub use rig::Rig;
pub use talk::Memory;
