//! The library looks at the same files as the commands: it must say the same, word for word.

use std::fs;

use lesson::look::{Command, Look, Looked, Now};

use crate::desk::{Desk, Run};

/// Files beyond this are left to the command, so that no test takes twice as long.
const LARGEST: u64 = 2_000_000;

/// Looks at the file of this command, if it is one that the library knows, and compares.
pub(crate) fn same(desk: &Desk, words: &[&str], run: &Run) {
    let Some((command, file, policy)) = files(words) else { return };
    let read = |name: &str| fs::metadata(desk.path(name)).ok().filter(|file| file.len() <= LARGEST && file.is_file());
    if read(file).is_none() || policy.is_some_and(|name| read(name).is_none()) {
        return;
    }
    let bytes = |name: &str| fs::read(desk.path(name)).unwrap();
    if Command::of(&bytes(file)) != command {
        return;
    }
    let policy_bytes = policy.map(bytes);
    let policy = policy.zip(policy_bytes.as_deref());
    let looked = look(file, bytes(file), policy);
    match (&looked, run.code) {
        (Err(why), Some(2)) => assert_eq!(format!("error: {why}\n"), run.err, "{words:?}"),
        (Ok(looked), Some(code @ (0 | 1))) => {
            assert_eq!(looked.is_sound, code == 0, "{words:?}");
            let said = run.out.lines().filter(|line| !line.starts_with("Written: ")).collect::<Vec<_>>();
            assert_eq!(looked.report.lines().collect::<Vec<_>>(), said, "{words:?}");
            summed_up(&looked.summary, &run.out, words);
        }
        // The command was refused for another file than this, or for a place that it cannot write.
        (_, Some(2)) if !run.err.starts_with(&format!("error: {file}")) => {}
        (_, Some(2)) if run.err.contains("is read or written by the same command already") => {}
        _ => panic!("{words:?} gave {run:?}, and a look {:?}", looked.map(|looked| looked.report)),
    }
}

/// The summary has what the report finds wrong, and no command.
fn summed_up(summary: &[String], report: &str, words: &[&str]) {
    let says = |piece: &str| summary.iter().any(|line| line.contains(piece));
    assert!(!summary.is_empty() && !says("--") && !says("`"), "{words:?}: {summary:?}");
    for (finding, piece) in [
        (" decided otherwise in line ", "this is not what happened in the lesson"),
        (" are missing: the box had no room", "The box had no room for "),
        ("HINT: sticks rest where", " stick rests at "),
        ("*** NEVER FOLLOWED ***", "The craft never followed "),
        ("Do not fly with this build", "do not fly with this build"),
        ("No policy written", "No policy yet"),
    ] {
        assert_eq!(report.contains(finding), says(piece), "{words:?}: {finding:?} in {summary:?} and {report}");
    }
}

/// The command, the file that it reads, and its policy; `None` for other commands, and with words that the library is
/// not given.
fn files<'a>(words: &[&'a str]) -> Option<(Command, &'a str, Option<&'a str>)> {
    let ([word, file], mut others) = words.split_first_chunk()?;
    let command = match *word {
        "replay" => Command::Replay,
        "tune" => Command::Tune,
        "policy" => Command::Policy,
        _ => return None,
    };
    let mut policy = None;
    while let [option, value, rest @ ..] = others {
        match *option {
            "--policy" => policy = Some(*value),
            "--picture" | "--write" | "--decisions" if !value.starts_with("/dev/std") => {}
            _ => return None,
        }
        others = rest;
    }
    (others.is_empty() && !file.starts_with('-')).then_some((command, file, policy))
}

fn look(file: &str, bytes: Vec<u8>, policy: Option<(&str, &[u8])>) -> Result<Box<Looked>, lesson::Fault> {
    let mut look = Look::begin(file, bytes, policy)?;
    loop {
        if let Now::Done(looked) = look.go_on(1000)? {
            return Ok(looked);
        }
    }
}
