//! N4 for cues, checked in the sources: the code of a step neither divides nor uses 64 bits.

use std::fs;
use std::path::Path;

/// The modules that a step runs. The check and its errors are not among them.
const IN_A_STEP: [&str; 4] = ["mod", "player", "rhythm", "rules"];

const FORBIDDEN: [&str; 8] = [" / ", " % ", "/=", "%=", "u64", "i64", "f32", "f64"];
const FORBIDDEN_PARTS: [&str; 7] = ["div", "rem_", "u128", "i128", "as_millis", "from_millis", "secs"];

/// Given the code that a step of the cues runs, when it is searched, then it neither divides nor uses 64 bits.
/// Rules: N4
#[test]
fn the_code_of_a_cue_step_has_no_division_and_no_64_bits() {
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
