//! The flights as a WebAssembly module. `fly` reads the command from its host, byte by byte, answers it, and returns
//! the exit code. `run.mjs` is a host for it.
//!
//! `unsafe` is used in two places, at the module's edge: for the names that the host knows, and for the functions that
//! only the host has. Only numbers go in and out; no memory is shared.
#![no_std]

use core::fmt::{self, Write};
use core::iter::from_fn;
use core::panic::PanicInfo;

use conformance::{Status, answer};

#[link(wasm_import_module = "host")]
unsafe extern "C" {
    /// Writes one byte of the answer.
    safe fn put(byte: u32);
    /// The next byte of the command, -1 after the last.
    safe fn take() -> i32;
}

/// The host's console.
struct Console;

impl Write for Console {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        text.bytes().for_each(|byte| put(byte.into()));
        Ok(())
    }
}

/// Answers the host's command; returns the exit code.
#[unsafe(no_mangle)]
pub extern "C" fn fly() -> u32 {
    let mut text = [b' '; 128];
    for (place, byte) in text.iter_mut().zip(from_fn(|| u8::try_from(take()).ok())) {
        *place = byte;
    }
    let words = core::str::from_utf8(&text).unwrap_or_default().split_ascii_whitespace();
    let status: Status = answer(words, &mut Console);
    status.code().into()
}

#[panic_handler]
fn panic(why: &PanicInfo<'_>) -> ! {
    // There is nobody else to report to.
    let _ = writeln!(Console, "{why}");
    core::arch::wasm32::unreachable()
}
