//! A browser that people could use, under a test's hands: real pointer, touch and key events, and what the page shows.
//!
//! Four paths come from the environment; `.ci/page` makes them: `HANDBACK_PAGE` (the page), `HANDBACK_LESSON` (the
//! command), `HANDBACK_AXE` (axe-core), `HANDBACK_SHOTS` (a folder for pictures of every state; may be left out). `HANDBACK_PICTURE` is
//! the file of the README's picture; it is written where that is named.

mod browser;
mod command;
mod files;

pub use browser::{Browser, LOW, SIZES, Size, WIDE, with};
pub use command::lesson;
pub use files::{HEADER, drop_files, trace};

use std::path::PathBuf;

/// A path that the environment must name.
pub fn path_of(variable: &str) -> PathBuf {
    std::env::var_os(variable).map_or_else(|| panic!("{variable} is not set; run .ci/page"), PathBuf::from)
}
