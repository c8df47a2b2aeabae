//! The parts of the crate besides the step: record, features, and size in memory.

mod example;
mod record;
mod serde;
mod size;
