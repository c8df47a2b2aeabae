//! N4 for pulse trains, read off the sources: what an interrupt calls neither divides nor uses 64 bits.

use std::fs;
use std::path::Path;

/// What runs in an interrupt. The set-ups and what they say when they are refused do not.
const IN_AN_INTERRUPT: [&str; 5] = ["counter", "decoder", "encoder", "mod", "tally"];

const FORBIDDEN: [&str; 8] = [" / ", " % ", "/=", "%=", "u64", "i64", "f32", "f64"];
const FORBIDDEN_PARTS: [&str; 6] = ["div", "rem_", "u128", "i128", "millis", "secs"];

/// Rules: N4
#[test]
fn given_the_code_of_an_interrupt_when_it_is_read_then_it_neither_divides_nor_uses_64_bits() {
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
