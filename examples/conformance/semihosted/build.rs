//! Links for the board's memory: a script for each kind of processor, followed by the script of the runtime crate.

use std::env::var;
use std::fs::copy;
use std::path::Path;

fn main() {
    let of_cargo = |name: &str| var(name).expect("cargo sets it");
    let memory = match of_cargo("CARGO_CFG_TARGET_ARCH").as_str() {
        "arm" => "memory-cortex-m.x",
        "riscv32" => {
            println!("cargo::rustc-link-arg=-Tmemory.x");
            "memory-riscv.x"
        }
        other => {
            panic!("there is no memory layout for {other}: build for a Cortex-M or for riscv32imc-unknown-none-elf")
        }
    };
    let out = of_cargo("OUT_DIR");
    copy(memory, Path::new(&out).join("memory.x")).expect("the build folder can be written");
    println!("cargo::rustc-link-search={out}");
    println!("cargo::rustc-link-arg=-Tlink.x");
    println!("cargo::rerun-if-changed={memory}");
}
