//! What passes on the host is what flies: the same flights on every target, and one digest of all that the engine said.
//!
//! A *flight* is a policy and a row of steps. Flight 0 flies nothing: it holds policies on and beside every limit to
//! their check (P1). The next four fly a recorded lesson, under a policy each. Every later one flies a random policy
//! through a random trace of 1, 4, 8 or 16 axes; its number is its seed. They aim at what is hard: sticks on and one
//! unit beside every threshold, steps on and one microsecond beside every duration, silence, bad frames, a clock that
//! wraps or jumps.
//!
//! Everything is drawn and computed in 32-bit integers, so a target that computes right flies the same flights (N2).
//! Two digests that are equal mean that every output bit, event, cause, waiting reason, held and waiting axis,
//! reception and link state of every step was equal.
//!
//! # Map
//! - [`Command`]: what a runner on any target is asked, and the lines that it answers.
//! - [`Log`]: digest and coverage of the flights; [`Coverage`] counts what was reached, so that nothing is missed
//!   unseen.
//! - [`fly`]: one flight; [`Drawn`]: one that somebody else takes the steps of, to measure them.
//! - [`recorded`]: the recorded lesson.
#![no_std]
#![forbid(unsafe_code)]

mod aim;
mod command;
mod coverage;
mod crc;
mod flight;
mod log;
mod policy;
mod random;
pub mod recorded;
mod refusal;
mod row;
mod segment;

pub use command::{Command, Status, answer};
pub use coverage::Coverage;
pub use crc::Crc32;
pub use flight::{Drawn, Take, fly};
pub use log::{Flip, Log};
