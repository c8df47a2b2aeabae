//! A trace, of points or raw, with a policy, a box or neither.

use lesson::look::{Command, Kind, Look, Looked, Now};

/// The name of the file in messages.
const NAME: &str = "fuzz.csv";

/// What a trace is flown with, by the first byte of an input.
const POLICIES: [Option<(&str, &str)>; 4] = [
    None,
    Some(("box.toml", include_str!("../../../examples/lesson/src/policy/box.toml"))),
    Some(("axis.toml", AXIS)),
    Some(("quick.toml", QUICK)),
];

/// Every axis by itself, one of them a throttle.
const AXIS: &str = r#"
scope = "axis"
[[axis]]
name = "aileron"
kind = "sprung"
[[axis]]
name = "throttle"
kind = "unsprung"
failsafe_points = -100
"#;

/// One axis without long waits.
const QUICK: &str = r#"
settle_ms = 1
dwell_ms = 20
requalify_ms = 20
frozen_after_ms = 500
[latches]
lasted_ms = 100
[[axis]]
name = "a"
kind = "sprung"
confirm = 2
window_points = 10
transfer = "pickup"
"#;

/// What must hold: nothing panics; a refusal is one line that names the file and a remedy; engine and reference agree in
/// every row of an accepted trace.
pub fn run(bytes: &[u8]) {
    let Some((&which, bytes)) = bytes.split_first() else { return };
    let policy = POLICIES[usize::from(which) % POLICIES.len()];
    // What looks like another kind of file is given to another command.
    if Command::of(bytes) != Command::Replay {
        return;
    }
    match looked(bytes, policy.map(|(name, text)| (name, text.as_bytes()))) {
        Ok(looked) => {
            assert_eq!(looked.kind, Kind::Trace);
            let agree = "agree in every decision and every output";
            assert!(looked.report.contains(agree), "engine and reference differ:\n{}", looked.report);
            let svg = looked.picture.expect("a trace has a picture");
            assert!(svg.starts_with("<svg") && svg.trim_end().ends_with("</svg>"));
        }
        Err(why) => {
            assert!(!why.contains('\n'), "more than one line: {why:?}");
            assert!(why.contains(';') || why.contains(": "), "no remedy: {why}");
        }
    }
}

fn looked(bytes: &[u8], policy: Option<(&str, &[u8])>) -> Result<Looked, String> {
    let mut look = Look::begin(NAME, bytes.to_vec(), policy).map_err(|why| why.to_string())?;
    loop {
        if let Now::Done(looked) = look.go_on(100).map_err(|why| why.to_string())? {
            return Ok(*looked);
        }
    }
}
