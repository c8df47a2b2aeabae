//! What the engine's crate offers beside the step: the record, the features, and what it costs in memory.

mod example;
mod record;
mod serde;
mod size;
