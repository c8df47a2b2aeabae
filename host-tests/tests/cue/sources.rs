//! N4 for cues, read off the sources: what a step calls neither divides nor uses 64 bits.

use std::fs;
use std::path::Path;

/// What a step runs. The check and what it says when it refuses do not.
const IN_A_STEP: [&str; 4] = ["mod", "player", "rhythm", "rules"];

const FORBIDDEN: [&str; 8] = [" / ", " % ", "/=", "%=", "u64", "i64", "f32", "f64"];
const FORBIDDEN_PARTS: [&str; 7] = ["div", "rem_", "u128", "i128", "as_millis", "from_millis", "secs"];

/// Rules: N4
#[test]
fn given_the_code_of_a_step_when_it_is_read_then_it_neither_divides_nor_uses_64_bits() {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../core/src/cue"));
    for module in IN_A_STEP {
        let source = fs::read_to_string(folder.join(format!("{module}.rs"))).expect("a module");
        for line in source.lines() {
            let code = line.split("//").next().unwrap_or_default();
            for sign in FORBIDDEN.iter().chain(&FORBIDDEN_PARTS) {
                assert!(!code.contains(sign), "{module}.rs has {sign:?}: {line}");
            }
        }
    }
}
