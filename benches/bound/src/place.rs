//! The place in the source that each instruction comes from.

use std::collections::BTreeMap;
use std::fs::read_to_string;
use std::io::Write as _;
use std::process::{Command, Stdio};

/// A line of the source.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Place {
    /// `file.rs:function`.
    pub(crate) function: String,
    /// Its text.
    pub(crate) text: String,
    /// Whether it is a line of this project.
    pub(crate) ours: bool,
}

/// For each instruction, the functions that it is in, the innermost first: those that were inlined, then the one that
/// was not.
pub(crate) type Places = BTreeMap<u32, Vec<Place>>;

/// Asks `addr2line` for the places of these instructions.
pub(crate) fn places(image: &str, addresses: impl Iterator<Item = u32>) -> Result<Places, String> {
    let failed = |error: std::io::Error| format!("arm-none-eabi-addr2line: {error}");
    let mut asked = Command::new("arm-none-eabi-addr2line")
        .args(["-a", "-i", "-e", image])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .map_err(failed)?;
    let questions = addresses.fold(String::new(), |asked, at| asked + &format!("{at:x}\n"));
    let mut input = asked.stdin.take().expect("it is piped");
    let writer = std::thread::spawn(move || input.write_all(questions.as_bytes()));
    let answer = asked.wait_with_output().map_err(failed)?;
    writer.join().expect("it does not panic").map_err(failed)?;
    let root = std::env::current_dir().map_err(failed)?.display().to_string();
    Ok(read(&String::from_utf8_lossy(&answer.stdout), &mut Sources { root, files: BTreeMap::new() }))
}

/// Reads lines `0x1ec08` for an instruction, each followed by lines `/path/file.rs:168` for its places.
fn read(answer: &str, sources: &mut Sources) -> Places {
    let mut places = Places::new();
    let mut at = None;
    for line in answer.lines() {
        if let Some(address) = line.strip_prefix("0x") {
            at = u32::from_str_radix(address, 16).ok();
        } else if let (Some(at), Some((path, line))) = (at, line.rsplit_once(':')) {
            let line = line.split(' ').next().and_then(|line| line.parse().ok()).unwrap_or(0);
            places.entry(at).or_default().push(sources.place(path, line));
        }
    }
    places
}

/// The lines of the files that were read. The function is taken from the source, since `addr2line` gives an inlined
/// function the name of the one around it.
#[derive(Default)]
struct Sources {
    /// Path of the project.
    root: String,
    files: BTreeMap<String, Vec<String>>,
}

impl Sources {
    fn place(&mut self, path: &str, line: usize) -> Place {
        let lines = self
            .files
            .entry(path.to_owned())
            .or_insert_with(|| read_to_string(path).unwrap_or_default().lines().map(str::to_owned).collect());
        let function = lines.iter().take(line).rev().find_map(|line| function(line)).unwrap_or("?");
        Place {
            function: format!("{}:{function}", path.rsplit('/').next().unwrap_or(path)),
            text: line.checked_sub(1).and_then(|line| lines.get(line)).cloned().unwrap_or_default(),
            ours: path.starts_with(&self.root),
        }
    }
}

/// The name of the function that begins in this line.
fn function(line: &str) -> Option<&str> {
    let (before, name) = line.split_once("fn ")?;
    let begins = before.trim().is_empty() || before.trim_start().starts_with(|c: char| c.is_ascii_lowercase());
    let end = name.find(|c: char| !c.is_alphanumeric() && c != '_')?;
    (begins && end > 0 && !before.contains("//")).then_some(&name[..end])
}
