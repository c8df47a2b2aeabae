//! The flights on the machine on which this is built. It also packs a recorded lesson for all targets.

mod pack;

use std::env::args;
use std::io::{self, BufWriter, Write};
use std::process::ExitCode;

use conformance::{Status, answer};

/// Lines for people and scripts to read.
struct Out<W: Write>(W);

impl<W: Write> std::fmt::Write for Out<W> {
    fn write_str(&mut self, text: &str) -> std::fmt::Result {
        self.0.write_all(text.as_bytes()).map_err(|_| std::fmt::Error)
    }
}

fn main() -> ExitCode {
    let words: Vec<String> = args().skip(1).collect();
    if let [word, rest @ ..] = words.as_slice()
        && word == "pack"
    {
        return match pack::pack_file(rest) {
            Ok(()) => ExitCode::SUCCESS,
            Err(why) => {
                eprintln!("{why}");
                ExitCode::from(Status::Usage.code())
            }
        };
    }
    let mut out = Out(BufWriter::new(io::stdout().lock()));
    let status = answer(words.iter().map(String::as_str), &mut out);
    let written = out.0.flush();
    ExitCode::from(if written.is_ok() { status.code() } else { Status::Usage.code() })
}
