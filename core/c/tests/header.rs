//! The committed header for C programs is the one that the crate generates.
#![allow(clippy::expect_used)]

use std::path::Path;

/// Given the crate, when its header is generated again, then it is the committed one.
///
/// `UPDATE_HEADER=1` writes it.
#[test]
fn the_committed_header_is_current() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut written = Vec::new();
    cbindgen::generate(here).expect("the crate has a header").write(&mut written);
    let written = String::from_utf8(written).expect("a header is text");
    let committed = here.join("include/handback.h");
    if std::env::var_os("UPDATE_HEADER").is_some() {
        std::fs::write(&committed, &written).expect("the header can be written");
    }
    let read = std::fs::read_to_string(&committed).unwrap_or_default();
    let line = 1 + written.lines().zip(read.lines()).take_while(|(ours, theirs)| ours == theirs).count();
    assert!(
        written == read,
        "include/handback.h, line {line}: not what the crate says; UPDATE_HEADER=1 writes it again"
    );
}
