//! The command line, to which the page is compared.

use std::path::Path;
use std::process::{Command, Output};

use crate::path_of;

/// Runs the command in this folder.
pub fn lesson(folder: &Path, words: &[&str]) -> Output {
    Command::new(path_of("HANDBACK_LESSON")).current_dir(folder).args(words).output().unwrap()
}
