//! What the bench and the desk share: the emulated board, the lines of two transmitters, and a lesson with all its
//! faults.
#![forbid(unsafe_code)]

pub mod board;
pub mod fault;
pub mod lesson;
pub mod line;
pub mod people;
pub mod transmitter;

use std::fmt;

/// Why a run failed.
#[derive(Debug)]
pub struct Wrong(String);

impl Wrong {
    /// A failure for this reason.
    pub const fn new(why: String) -> Self {
        Self(why)
    }
}

impl fmt::Display for Wrong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl From<std::io::Error> for Wrong {
    fn from(why: std::io::Error) -> Self {
        Self(format!("the line to the board: {why}"))
    }
}
