//! Who flies: instructor or student.
#![no_std]
#![forbid(unsafe_code)]

#[cfg(feature = "serde")]
mod array;
mod checked;
mod clock;
mod deflection;
mod engine;
mod outcome;
mod policy;
mod policy_error;

pub use checked::CheckedPolicy;
pub use clock::{Duration, Instant};
pub use deflection::{AxisSet, Deflection, Frame};
pub use engine::{Engine, Inputs};
pub use outcome::{Authority, Cause, Event, Link, Outcome, Reception, Waiting};
pub use policy::{AxisRule, Latches, Policy, Rest, Scope, Transfer};
pub use policy_error::{PolicyError, Timing};
