//! The command `policy`: prints the default policy, checks one, or prints one as Rust.

use std::io::{self, Write};
use std::path::Path;

use crate::cli::PolicyWords;
use crate::error::Fault;
use crate::for_axes;
use crate::policy_file::{DEFAULT, PolicyFile};
use crate::policy_rust::RustPolicy;

pub(crate) fn policy(words: &PolicyWords) -> Result<(), Fault> {
    let file = match (&words.file, words.rust) {
        (None, false) => return print(DEFAULT),
        (None, true) => PolicyFile::parse(Path::new("the default policy"), DEFAULT.to_owned())?,
        (Some(path), _) => PolicyFile::read(path)?,
    };
    let names = file.names();
    let text = for_axes!(names.len(), rust(&file, &names))?;
    match &words.file {
        Some(path) if !words.rust => {
            print(&format!("{}: ok, {} axes: {}\n", path.display(), names.len(), names.join(", ")))
        }
        _ => print(&text),
    }
}

/// The policy as Rust, once it is checked.
fn rust<const N: usize>(file: &PolicyFile, names: &[String]) -> Result<String, Fault> {
    let policy = file.check::<N>()?;
    Ok(RustPolicy { policy: policy.policy(), names }.to_string())
}

fn print(text: &str) -> Result<(), Fault> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes()).and_then(|()| out.flush()).map_err(|why| Fault::stdout(&why))
}
