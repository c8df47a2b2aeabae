//! The part of a file that is not whole yet: a temporary file beside its place.
//!
//! A run holds a lock on its parts for as long as it lives, whatever ends it. A part that nobody holds was left behind by
//! a run that was killed, and the next run that writes into the same folder removes it.

use std::fs::{self, File};
use std::io;
use std::path::Path;

use tempfile::{Builder, NamedTempFile};

use crate::command_line::interrupt;

const BEGINS: &str = ".lesson-";
const ENDS: &str = ".part";
/// The letters and digits that the library puts between.
const RANDOM: usize = 6;

/// An empty part in this folder, with the rights that a new file has here.
pub(super) fn create(folder: &Path) -> io::Result<NamedTempFile> {
    remove_left_behind(folder);
    let mut builder = Builder::new();
    builder.prefix(BEGINS).suffix(ENDS).rand_bytes(RANDOM);
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    loop {
        // The library's own message repeats the temporary name, which means nothing to the user.
        let part = builder.tempfile_in(folder);
        let part = part.map_err(|why| why.raw_os_error().map_or(why, io::Error::from_raw_os_error))?;
        // Where there are no locks nobody gets one, and all parts stay.
        let locked = part.as_file().lock();
        // Another run may have found it before it was locked.
        if locked.is_err() || part.path().exists() {
            interrupt::note(part.path());
            return Ok(part);
        }
    }
}

/// Removes the parts that no run holds. What cannot be removed is no reason not to write.
fn remove_left_behind(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let is_part = entry.file_name().to_str().is_some_and(is_part);
        if !is_part || !entry.file_type().is_ok_and(|kind| kind.is_file()) {
            continue;
        }
        // The lock is held until it is gone, so that whoever made it just now sees that.
        if let Ok(part) = File::options().write(true).open(entry.path())
            && part.try_lock().is_ok()
        {
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn is_part(name: &str) -> bool {
    let random = name.strip_prefix(BEGINS).and_then(|rest| rest.strip_suffix(ENDS));
    random.is_some_and(|random| random.len() == RANDOM && random.bytes().all(|byte| byte.is_ascii_alphanumeric()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given a part that nobody holds, one that a run holds, and files with similar names, when another part is made,
    /// then only the first is removed.
    #[test]
    fn only_a_part_that_nobody_holds_is_removed() {
        let folder = tempfile::tempdir().unwrap();
        let held = create(folder.path()).unwrap();
        for name in [".lesson-abc123.part", ".lesson-notes.part", "lesson-abc123.part", ".lesson-ab_123.part"] {
            fs::write(folder.path().join(name), "half").unwrap();
        }
        fs::create_dir(folder.path().join(".lesson-folder.part")).unwrap();
        let another = create(folder.path()).unwrap();
        let there = |name: &str| folder.path().join(name).exists();
        assert!(held.path().exists() && another.path().exists());
        assert!(!there(".lesson-abc123.part"));
        for kept in [".lesson-notes.part", "lesson-abc123.part", ".lesson-ab_123.part", ".lesson-folder.part"] {
            assert!(there(kept), "{kept}");
        }
        // Once its run has ended in any way, nobody holds it.
        let (file, left) = held.keep().unwrap();
        drop(file);
        let _next = create(folder.path()).unwrap();
        assert!(!left.exists());
    }
}
