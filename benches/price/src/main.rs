//! The cost of a step: instructions and stack of the engine, of the float reference and of a bare decision in C, over
//! the same traces. The emulator's command line says for how many axes and over how many flights.
#![no_std]
#![no_main]

mod bare;
mod counter;
mod measure;
mod policy;
mod scene;
mod stack;
mod tally;

use core::fmt;

use semihosting::experimental::env::args;
use semihosting::io::{self, Stdout, Write};
use semihosting::process::exit;

use crate::measure::{Extent, measure};

/// The emulator's console.
struct Console(Stdout);

impl fmt::Write for Console {
    fn write_str(&mut self, text: &str) -> fmt::Result {
        self.0.write_all(text.as_bytes()).map_err(|_| fmt::Error)
    }
}

#[cortex_m_rt::entry]
fn main() -> ! {
    exit(match run() {
        Ok(true) => 0,
        Ok(false) => 1,
        Err(_) => 2,
    })
}

/// Whether the counter counts right and everything was measured.
fn run() -> io::Result<bool> {
    let words = args::<128>()?;
    let mut numbers = (&words).skip(1).map(|word| word.ok().and_then(|word| word.parse().ok()).unwrap_or(0));
    let mut next = || numbers.next().unwrap_or(0);
    let axes = next();
    let extent = Extent { flights: next(), everything_on: next(), reference: next() };
    let out = &mut Console(io::stdout()?);

    counter::start();
    if let Err((expected, found)) = counter::check() {
        let _ =
            fmt::Write::write_fmt(out, format_args!("the counter is wrong: {expected:?} was counted as {found:?}\n"));
        return Ok(false);
    }
    Ok(match axes {
        4 => measure::<4>(extent, out),
        8 => measure::<8>(extent, out),
        16 => measure::<16>(extent, out),
        _ => Err(fmt::Error),
    }
    .is_ok())
}
