//! An interruption, such as Ctrl-C, leaves nothing half written either: the parts are removed before the program ends.

use std::fs;
use std::path::{Path, PathBuf};
use std::process;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, PoisonError};

/// What a shell calls a program that Ctrl-C ended: 128 and the number of the signal. Common practice, no source.
const INTERRUPTED: i32 = 130;

/// The parts of this run. Those that have been moved to their places since are not there to be removed.
static PARTS: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// Whether an interruption only asks to stop, so that what came so far is kept.
static GENTLE: AtomicBool = AtomicBool::new(false);
static ASKED: AtomicBool = AtomicBool::new(false);

/// From now on the first interruption only asks to stop; a second one ends the program.
pub(crate) fn be_gentle() {
    GENTLE.store(true, Ordering::SeqCst);
}

/// Whether an interruption asked to stop.
pub(crate) fn asked() -> bool {
    ASKED.load(Ordering::SeqCst)
}

/// From now on an interruption removes the parts.
pub(crate) fn watch() {
    // Where the system refuses, it ends the program as it always does, and only the parts stay.
    let _ = ctrlc::set_handler(|| {
        if GENTLE.swap(false, Ordering::SeqCst) {
            ASKED.store(true, Ordering::SeqCst);
            return;
        }
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
