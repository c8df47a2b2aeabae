//! An interruption, such as Ctrl-C, leaves nothing half written either: the parts are removed before the program ends.

use std::fs;
use std::path::{Path, PathBuf};
use std::process;
use std::sync::{Mutex, PoisonError};

/// What a shell calls a program that Ctrl-C ended: 128 and the number of the signal. Common practice, no source.
const INTERRUPTED: i32 = 130;

/// The parts of this run. Those that have been moved to their places since are not there to be removed.
static PARTS: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// From now on an interruption removes the parts.
pub(crate) fn watch() {
    // Where the system refuses, it ends the program as it always does, and only the parts stay.
    let _ = ctrlc::set_handler(|| {
        for part in PARTS.lock().unwrap_or_else(PoisonError::into_inner).iter() {
            let _ = fs::remove_file(part);
        }
        process::exit(INTERRUPTED);
    });
}

/// Notes a part that an interruption is to remove.
pub(crate) fn note(part: &Path) {
    PARTS.lock().unwrap_or_else(PoisonError::into_inner).push(part.to_owned());
}
