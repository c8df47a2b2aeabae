//! Opens the files that a command reads.

use std::fs::{self, File};
use std::io;
use std::path::Path;

use crate::error::Fault;
use crate::input::Input;
use crate::policy::PolicyFile;
use crate::trace::TraceReader;
use crate::tune::recording::Recording;

/// The bytes of a file.
pub(crate) fn open(path: &Path) -> Result<Input, Fault> {
    // A shell's word for standard input is no file here.
    if path == Path::new("-") {
        let remedy = "standard input is not read: name a file, or write ./- for one of this name";
        return Err(Fault::new(path, "names no file", remedy));
    }
    let refuse = |why: &io::Error| Fault::unread(path, why);
    if fs::metadata(path).map_err(|why| refuse(&why))?.is_dir() {
        return Err(refuse(&io::ErrorKind::IsADirectory.into()));
    }
    Ok(Input::new(path, File::open(path).map_err(|why| refuse(&why))?))
}

pub(crate) fn policy(path: &Path) -> Result<PolicyFile, Fault> {
    PolicyFile::read(open(path)?)
}

pub(crate) fn trace(path: &Path) -> Result<TraceReader, Fault> {
    TraceReader::read(open(path)?)
}

pub(crate) fn recording(path: &Path, file: Option<&PolicyFile>) -> Result<Recording, Fault> {
    Recording::read(open(path)?, file)
}
