//! What the emulated board and the bench share, so that they cannot differ by accident: the [plan](plan::PLAN) of the
//! box, the [commands](Command) that go to it, the [answers](Report) that come back, and the [box](Rig) behind them.
//!
//! The board is this and a serial line. Time, edges, switch and button come over the line; so what happens on it is the
//! same in every run, however fast or slow the emulator is.
#![no_std]
#![forbid(unsafe_code)]

mod check;
mod command;
mod pins;
pub mod plan;
mod reader;
mod report;
mod rig;
mod writer;

#[cfg(feature = "broken")]
pub mod broken;

pub use command::{COMMAND_BYTES, Command, Hand};
pub use report::{READY, Report, Stepped};
pub use rig::Rig;
