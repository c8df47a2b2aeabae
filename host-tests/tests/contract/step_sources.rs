//! N4 and the static half of N1 and N2, checked in the sources.
//!
//! Covered: every file of the rooms that a step, or reading and writing a frame's channels, can reach, found by
//! following `crate::` from all files of `engine` and from two of `channel`; without comments, strings and tests.
//! Not covered: the code of other crates that a step calls, and the code that the compiler generates. Only the linked
//! image shows those.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Rooms of which a step uses only the types, and why their code is not part of a step.
const NOT_IN_A_STEP: [(&str, &str); 2] = [
    ("policy", "data, its constructors and its check: runs before an engine is built"),
    (
        "channel",
        "data, its constructors and its check, but for `checked.rs` and `line.rs`: runs before a frame is read",
    ),
];

/// Files that are reached from elsewhere, and why their code is not part of a step.
const NOT_A_STEPS: [(&str, &str); 1] = [("quantity/array.rs", "serde: reads and writes what is stored")];

/// Functions that no step calls, in modules that a step uses, and what they do.
const NOT_CALLED_IN_A_STEP: [(&str, &str); 2] =
    [("fn from_centipoints", "a number in a policy"), ("fn fmt", "a text for people")];

/// Signs of a division, and types of 64 bits or more or of floats.
const FORBIDDEN: [&str; 8] = ["/", "%", "u64", "i64", "u128", "i128", "f32", "f64"];

/// Parts of names of functions that divide: `checked_div`, `div_ceil`, `rem_euclid`, `is_multiple_of`, `as_millis` ...
const FORBIDDEN_PARTS: [&str; 8] = ["div", "rem", "sqrt", "isqrt", "multiple", "ilog", "millis", "secs"];

fn core() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../core/src"))
}

/// The code of a file: no comments, no strings, no tests, no function that is not called in a step.
fn code(file: &str) -> String {
    let source = fs::read_to_string(core().join(file)).unwrap_or_else(|why| panic!("{file}: {why}"));
    let source = source.split("#[cfg(test)]").next().unwrap_or_default();
    let lines = source.lines().map(|line| line.split("//").next().unwrap_or_default());
    let mut code = lines.collect::<Vec<_>>().join("\n");
    for (function, _) in NOT_CALLED_IN_A_STEP {
        while let Some(start) = code.find(&format!("{function}(")) {
            let body = end_of_block(&code[start..]);
            code.replace_range(start..start + body, "");
        }
    }
    code.split('"').step_by(2).collect()
}

/// The offset of the end of the first block in braces.
fn end_of_block(code: &str) -> usize {
    let mut depth = 0;
    for (at, c) in code.char_indices() {
        match c {
            '{' => depth += 1,
            '}' if depth == 1 => return at + 1,
            '}' => depth -= 1,
            _ => {}
        }
    }
    code.len()
}

/// The words of letters, digits and underscores, then every other sign alone.
fn words(code: &str) -> impl Iterator<Item = &str> {
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    let words = code.split(move |c| !is_word(c)).filter(|word| !word.is_empty());
    let signs = code.char_indices().filter(move |&(_, c)| !is_word(c) && !c.is_whitespace());
    words.chain(signs.map(|(at, c)| &code[at..at + c.len_utf8()]))
}

/// The files of a room.
fn files(room: &str) -> Vec<String> {
    let entries =
        fs::read_dir(core().join(room)).unwrap_or_else(|why| panic!("{room} is no folder of core/src: {why}"));
    let names = entries.map(|entry| entry.expect("an entry").file_name().into_string().expect("text"));
    names
        .map(|name| format!("{room}/{name}"))
        .filter(|file| !NOT_A_STEPS.iter().any(|(name, _)| name == file))
        .collect()
}

/// The files that a step, or reading and writing a frame's channels, can reach, with their code.
fn reached() -> BTreeMap<String, String> {
    let mut reached = BTreeMap::new();
    let mut open = [files("engine"), vec!["channel/checked.rs".to_owned(), "channel/line.rs".to_owned()]].concat();
    while let Some(file) = open.pop() {
        if reached.contains_key(&file) {
            continue;
        }
        let code = code(&file);
        for used in code.split("crate::").skip(1) {
            let room = used.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or_default();
            if !file.starts_with(room) && !NOT_IN_A_STEP.iter().any(|&(name, _)| name == room) {
                open.extend(files(room));
            }
        }
        reached.insert(file, code);
    }
    reached
}

/// The forbidden words of some code.
fn offences(code: &str) -> BTreeSet<&str> {
    let divides = |word: &str| word.split('_').any(|part| FORBIDDEN_PARTS.contains(&part));
    words(code).filter(|&word| FORBIDDEN.contains(&word) || divides(word)).collect()
}

/// Given the modules of a step, when their code is read, then it has no division, no 64-bit arithmetic and no float.
/// Rules: N4, N2
#[test]
fn a_step_has_no_division_no_64_bits_and_no_float() {
    let files = reached();
    for file in ["engine/mod.rs", "engine/share.rs", "engine/transfer.rs", "quantity/deflection.rs", "channel/line.rs"]
    {
        let code = files.get(file).unwrap_or_else(|| panic!("{file} is not reached: {:?}", files.keys()));
        assert!(code.contains("fn "), "nothing is left of {file} to look at");
    }
    for (file, code) in &files {
        assert_eq!(offences(code), BTreeSet::new(), "in {file}");
    }
}

/// Given code that divides or uses 64 bits or floats, when it is read, then the check finds it.
/// Rules: N4
#[test]
fn the_check_of_the_sources_sees_a_division() {
    for bad in
        ["a / b", "a /= b", "a % b", "x as u64", "i64::from(x)", "a.checked_div(b)", "a.div_ceil(b)", "1.0_f64 as f32"]
    {
        assert!(!offences(bad).is_empty(), "{bad}");
    }
    assert!(offences("a.divide; remainder + u32::from(b) >> 4").is_empty());
    assert!(code("policy/check.rs").contains("fn check"), "code outside a step can be read too");
    assert!(!code("quantity/deflection.rs").contains("i64"), "functions that a step does not call are left out");
}

/// Given the library, when its sources are read, then they have no allocator, no unsafe code and no code for one
/// target.
/// Rules: N1, N2
#[test]
fn the_library_has_no_allocator_no_unsafe_and_no_target_code() {
    let library = fs::read_to_string(core().join("lib.rs")).expect("core has a lib.rs");
    assert!(library.contains("\n#![no_std]\n") && library.contains("\n#![forbid(unsafe_code)]\n"));
    assert!(!library.contains("extern crate"), "neither std nor alloc");
    for (file, code) in reached() {
        let code = code.replace("'static", ""); // a lifetime, not a variable
        for word in ["unsafe", "alloc", "std", "static", "target_arch", "target_pointer_width", "loop"] {
            assert!(words(&code).all(|found| found != word), "{word:?} in {file}");
        }
    }
}
