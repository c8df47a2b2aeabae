//! The command `policy`: prints the default policy, checks one, or prints one as Rust or as C.

use std::io::{self, Write};
use std::path::Path;

use crate::command_line::cli::PolicyWords;
use crate::command_line::open;
use crate::error::Fault;
use crate::for_axes;
use crate::policy::{CPolicy, DEFAULT, PolicyFile, RustPolicy, default_box};

/// What a policy is printed as.
#[derive(Clone, Copy)]
enum Language {
    Rust,
    C,
}

pub(crate) fn policy(words: &PolicyWords) -> Result<(), Fault> {
    let language = match (words.rust, words.c) {
        (true, _) => Some(Language::Rust),
        (_, true) => Some(Language::C),
        _ => None,
    };
    let file = match (&words.file, language) {
        (None, None) if words.whole_box => return print(&default_box()),
        (None, None) => return print(DEFAULT),
        (None, Some(_)) if words.whole_box => PolicyFile::parse(Path::new("the default box"), default_box())?,
        (None, Some(_)) => PolicyFile::parse(Path::new("the default policy"), DEFAULT.to_owned())?,
        (Some(path), _) => open::policy(path)?,
    };
    let names = file.names();
    // Without a language it is checked all the same.
    let text = for_axes!(names.len(), source(&file, &names, language.unwrap_or(Language::Rust)))?;
    match &words.file {
        Some(path) if language.is_none() => print(&file.praise(path)),
        _ => print(&text),
    }
}

/// The policy as source, once it is checked.
fn source<const N: usize>(file: &PolicyFile, names: &[String], language: Language) -> Result<String, Fault> {
    let checked = file.check::<N>()?;
    let policy = checked.policy();
    let plan = file.plan::<N>()?;
    Ok(match language {
        Language::Rust => RustPolicy { policy, names, around: plan.as_ref() }.to_string(),
        Language::C => CPolicy { policy, names, is_box: plan.is_some() }.to_string(),
    })
}

fn print(text: &str) -> Result<(), Fault> {
    let mut out = io::stdout().lock();
    out.write_all(text.as_bytes()).and_then(|()| out.flush()).map_err(|why| Fault::stdout(&why))
}
