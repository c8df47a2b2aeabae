//! A policy or a box file, as text.

use lesson::look::{Command, Look, Looked, Now, written_again};

/// The name of the file in messages.
const NAME: &str = "fuzz.toml";

/// What must hold: nothing panics; a refusal is one line that names the file, a line of it and a remedy; an accepted
/// file, written again by the tool, is accepted, and is the same policy in every form that is printed.
pub fn run(bytes: &[u8]) {
    let again = match written_again(NAME, bytes) {
        Ok(again) => again,
        Err(why) => return refused(&why.to_string(), bytes),
    };
    assert_eq!(written_again(NAME, again.as_bytes()).expect("it was written by the tool"), again);
    if Command::of(bytes) == Command::Policy {
        let (first, second) = (looked(bytes), looked(again.as_bytes()));
        assert_eq!((first.kind, first.report, first.files), (second.kind, second.report, second.files), "{again}");
    }
}

fn looked(bytes: &[u8]) -> Looked {
    match Look::begin(NAME, bytes.to_vec(), None).and_then(|mut look| look.go_on(1)) {
        Ok(Now::Done(looked)) => *looked,
        other => panic!("an accepted policy is looked at: {other:?}"),
    }
}

/// A refusal of a text names its line; of what is no text or another kind of file, the file alone.
fn refused(why: &str, bytes: &[u8]) {
    let told = why.strip_prefix(NAME).unwrap_or_else(|| panic!("names no file: {why}"));
    assert!(!why.contains('\n'), "more than one line: {why:?}");
    assert!(told.contains(';') || told.contains(": "), "no remedy: {why}");
    if Command::of(bytes) == Command::Policy && std::str::from_utf8(bytes).is_ok() {
        let line = told.strip_prefix(", line ").and_then(|told| told.split([',', ':']).next()?.parse::<usize>().ok());
        let line = line.unwrap_or_else(|| panic!("names no line: {why}"));
        let lines = bytes.iter().filter(|&&byte| byte == b'\n').count() + 1;
        assert!((1..=lines).contains(&line), "line {line} of {lines}: {why}");
    }
}
