//! The outcome of a step as bytes, and the CRC-32 of those bytes.
//!
//! Two engines with equal check values took the same decisions and gave the same outputs: every bit of every outcome is
//! in the check value. The conformance check compares targets by it; the trainer box sends it beside every row of a
//! recording.
//!
//! ```
//! use handback::{AxisRule, Engine, Inputs, Instant, Policy};
//! use outcome_digest::{Crc32, OutcomeBytes};
//! let policy = Policy::new([AxisRule::sprung(); 4]).check()?;
//! let (mut engine, mut check) = (Engine::new(&policy), Crc32::new());
//! OutcomeBytes::of(&engine.step(Instant::from_ticks(0), Inputs::default())).digest(&mut check);
//! assert_ne!(check.value(), Crc32::new().value());
//! # Ok::<(), handback::PolicyError>(())
//! ```
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]

mod crc;
mod outcome;

pub use crc::Crc32;
pub use outcome::{OutcomeBytes, link, reception, waiting_of};
