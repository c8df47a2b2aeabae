//! Links for the board's memory, and with the bare decision in C, compiled once for each number of axes.

use std::env::var;
use std::fs::copy;
use std::path::Path;
use std::process::Command;

fn main() {
    let of_cargo = |name: &str| var(name).expect("cargo sets it");
    let out = of_cargo("OUT_DIR");
    copy("memory.x", Path::new(&out).join("memory.x")).expect("the build folder can be written");
    println!("cargo::rustc-link-search={out}");
    println!("cargo::rustc-link-arg=-Tlink.x");
    println!("cargo::rerun-if-changed=memory.x");

    println!("cargo::rustc-check-cfg=cfg(microbit)");
    let processor = match of_cargo("TARGET").as_str() {
        "thumbv6m-none-eabi" => {
            println!("cargo::rustc-cfg=microbit");
            ["-mcpu=cortex-m0", "-mfloat-abi=soft"].as_slice()
        }
        "thumbv7em-none-eabihf" => &["-mcpu=cortex-m4", "-mfloat-abi=hard", "-mfpu=fpv4-sp-d16"],
        other => panic!("there is no board for {other}: build for thumbv6m-none-eabi or thumbv7em-none-eabihf"),
    };
    for axes in [4, 8, 16] {
        let object = format!("{out}/decision_{axes}.o");
        let built = Command::new("arm-none-eabi-gcc")
            .args(processor)
            .args(["-mthumb", "-O2", "-std=c11", "-Wall", "-Wextra", "-Werror", "-ffunction-sections"])
            .args([&format!("-DAXES={axes}"), "-c", "decision.c", "-o", &object])
            .status();
        assert!(built.is_ok_and(|status| status.success()), "arm-none-eabi-gcc does not compile decision.c");
        println!("cargo::rustc-link-arg={object}");
    }
    println!("cargo::rerun-if-changed=decision.c");
}
