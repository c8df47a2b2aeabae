//! Links for the memory of the board, with the script of the runtime crate.

use std::env::var;
use std::fs::copy;
use std::path::Path;

fn main() {
    let out = var("OUT_DIR").expect("cargo sets it");
    copy("memory.x", Path::new(&out).join("memory.x")).expect("the build folder can be written");
    println!("cargo::rustc-link-search={out}");
    println!("cargo::rustc-link-arg=-Tlink.x");
    println!("cargo::rerun-if-changed=memory.x");
}
