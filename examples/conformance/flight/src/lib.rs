//! The same flights on every target, and one digest of all outcomes of the engine, so that what passes on the host is
//! what flies.
//!
//! A *flight* is a policy and a sequence of steps. Flight 0 has no steps: it checks policies on every limit of their
//! check and beside it (P1). The next four fly a recorded lesson, each under another policy. Every later flight flies a
//! random policy through a random trace of 1, 4, 8 or 16 axes; its number is its seed. These flights aim at hard cases:
//! sticks on every threshold and one unit beside it, steps on every duration and one microsecond beside it, silence,
//! bad frames, a clock that wraps or jumps.
//!
//! Everything is drawn and computed in 32-bit integers, so every target that computes correctly flies the same flights
//! (N2). If two digests are equal, then every output bit, event, cause, waiting reason, held and waiting axis,
//! reception and link state of every step was equal.
//!
//! # Map
//! - [`Command`]: the commands of a runner on any target, and the lines of its answers.
//! - [`Log`]: digest and coverage of the flights; [`Coverage`] counts what was reached, so that no gap stays unseen.
//! - [`fly`]: one flight; [`Drawn`]: a flight whose steps are taken by a bench that measures them.
//! - [`recorded`]: the recorded lesson.
//! - [`channels`]: random channels, of pulses and of counts, read and written.
#![no_std]
#![forbid(unsafe_code)]

mod aim;
pub mod channels;
mod command;
mod coverage;
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
pub use flight::{Drawn, Take, fly};
pub use log::{Flip, Log};
pub use outcome_digest::Crc32;
