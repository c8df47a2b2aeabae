//! The parts of the crate besides the step: record, features, size in memory, and the pages.

mod example;
mod pages;
mod record;
mod serde;
mod size;
mod told;
