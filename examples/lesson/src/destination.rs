//! Where a table is written: a file of the command line, or memory.

use std::io::{self, Write};
use std::path::Path;

use crate::error::Fault;

/// Takes the bytes of a table, and says what is wrong where it cannot.
pub(crate) trait Destination: Write {
    fn fault(&self, why: io::Error) -> Fault;
}

impl Destination for Vec<u8> {
    fn fault(&self, why: io::Error) -> Fault {
        Fault::unwritten(Path::new("memory"), &why)
    }
}
