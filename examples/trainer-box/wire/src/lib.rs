//! What a trainer box says to a computer and takes from it, as lines of plain text; and its black box.
//!
//! The lines are described in `WIRE.md` beside this crate. The firmware of a board does this in every turn of its loop:
//!
//! - It passes each edge to [`Wire::edge`] too, beside the box.
//! - It passes a few of the bytes that arrived to [`Wire::receive`].
//! - After the step of the box it calls [`BlackBox::note`] with the row, where there is one, and [`Wire::step`].
//! - It passes the entries of the log to [`Wire::entry`].
//! - It answers a [`Wire::request`]: it reads the stored file, or checks and stores a new one.
//! - It sends as many of the [`Wire::pending`] bytes as its port takes without waiting.
//!
//! Nothing waits, nothing allocates, and nothing that arrives changes what the box does: the wire is lent the box
//! unchangeably.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![deny(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::unwrap_used, clippy::expect_used)]
#![deny(clippy::panic)]
#![cfg_attr(test, allow(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::expect_used))]

mod black_box;
mod clock;
mod command;
mod file;
mod lesson;
mod reader;
mod ring;
mod text;
mod trace;
mod wire;
mod words;

pub use black_box::{BlackBox, BlackBoxMemory};
pub use file::LONGEST_FILE;
pub use wire::{Request, Wire};
