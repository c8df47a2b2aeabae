//! wire
#![no_std]
#![forbid(unsafe_code)]
#![deny(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::unwrap_used, clippy::expect_used)]
#![deny(clippy::panic)]
#![cfg_attr(test, allow(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::expect_used))]
mod black_box;
mod clock;
mod command;
mod reader;
mod ring;
mod text;
mod words;
pub use black_box::{BlackBox, BlackBoxMemory};
