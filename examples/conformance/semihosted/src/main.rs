//! The flights as a firmware image. The command comes from the emulator's command line; answer and exit code go to the
//! emulator. All of it goes through semihosting.
#![no_std]
#![no_main]
#![forbid(unsafe_code)]

use core::fmt;

use conformance::{Status, answer};
use semihosting::experimental::env::args;
use semihosting::io::{self, Stdout, Write};
use semihosting::process::exit;

/// The emulator's console.
struct Console(Stdout);

impl fmt::Write for Console {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.write_all(text.as_bytes()).map_err(|_| fmt::Error)
    }
}

#[cfg_attr(target_arch = "arm", cortex_m_rt::entry)]
#[cfg_attr(target_arch = "riscv32", riscv_rt::entry)]
fn main() -> ! {
    let status = fly().unwrap_or(Status::Usage);
    exit(status.code().into())
}

/// Answers the command on the emulator's command line, whose first word is the program's name.
fn fly() -> io::Result<Status> {
    let words = args::<256>()?;
    let mut console = Console(io::stdout()?);
    Ok(answer((&words).skip(1).map(Result::unwrap_or_default), &mut console))
}
