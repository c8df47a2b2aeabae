//! N4 for pulse trains, checked in the sources: the code of an interrupt neither divides nor uses 64 bits.

use std::fs;
use std::path::Path;

/// The modules that run in an interrupt. The set-ups and their errors are not among them.
const IN_AN_INTERRUPT: [&str; 4] = ["decoder", "encoder", "mod", "tally"];

const FORBIDDEN: [&str; 8] = [" / ", " % ", "/=", "%=", "u64", "i64", "f32", "f64"];
const FORBIDDEN_PARTS: [&str; 6] = ["div", "rem_", "u128", "i128", "millis", "secs"];

/// Given the code that runs in an interrupt, when it is searched, then it neither divides nor uses 64 bits.
/// Rules: N4
#[test]
fn the_code_of_an_interrupt_has_no_division_and_no_64_bits() {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../core/src/ppm"));
    for module in IN_AN_INTERRUPT {
        let source = fs::read_to_string(folder.join(format!("{module}.rs"))).expect("a module");
        for line in source.lines() {
            let code = line.split("//").next().unwrap_or_default();
            for sign in FORBIDDEN.iter().chain(&FORBIDDEN_PARTS) {
                assert!(!code.contains(sign), "{module}.rs has {sign:?}: {line}");
            }
        }
    }
}
