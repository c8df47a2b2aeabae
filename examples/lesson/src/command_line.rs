//! The command line: its words, the files that are read and written, ports, and what is printed.
//!
//! | file | one idea |
//! |---|---|
//! | `cli` | the words of the command line |
//! | `commands` | the commands |
//! | `finish` | the end that fly and replay share |
//! | `learn` | both transmitters of a box, from its raw trace to a box file |
//! | `link` | what a trainer box is asked, and what it answers |
//! | `open` | the files that are read |
//! | `output`, `interrupt` | files that are whole or not there, whatever ends the command |
//! | `page` | a lesson as a page for a browser |
//! | `port`, `record` | where lines come from; recordings of sticks from there |
//! | `progress` | the bar |

mod cli;
mod commands;
mod finish;
mod interrupt;
mod learn;
mod link;
mod open;
mod output;
mod page;
mod port;
mod progress;
mod record;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser;

use self::cli::{Cli, Command};
use self::finish::Verdict;
use crate::error::Fault;

/// Bad input, whether in a file or on the command line.
const REFUSED: u8 = 2;

/// Runs the command that stands in the words of this process.
pub fn main() -> ExitCode {
    interrupt::watch();
    let done = match Cli::try_parse() {
        Ok(words) => run(words.command()),
        Err(why) if why.use_stderr() => {
            // Where it cannot be written, the exit code says it alone.
            let _ = why.print();
            return ExitCode::from(REFUSED);
        }
        // What was asked for, such as --help.
        Err(text) => {
            let printed = text.print().and_then(|()| io::stdout().flush());
            printed.map(|()| Verdict::Sound).map_err(|why| Fault::stdout(&why))
        }
    };
    match done {
        Err(fault) if !fault.is_quiet() => {
            let _ = writeln!(io::stderr(), "error: {fault}");
            ExitCode::from(REFUSED)
        }
        // The report says it too; a script reads only this.
        Ok(Verdict::Unsound) => ExitCode::FAILURE,
        Ok(Verdict::Sound) | Err(_) => ExitCode::SUCCESS,
    }
}

fn run(command: Command) -> Result<Verdict, Fault> {
    match command {
        Command::Fly(words) => commands::fly::fly(&words),
        Command::Replay(words) => commands::replay::replay(&words),
        Command::Preflight(words) => commands::preflight::preflight(&words),
        Command::Tune(words) => commands::tune::tune(&words),
        Command::Record(words) => record::record(&words),
        Command::Learn(words) => learn::learn(&words),
        Command::Box(words) => commands::box_file::box_file(&words),
        Command::Debrief(words) => commands::debrief::debrief(&words),
        Command::Policy(words) => commands::policy::policy(&words).map(|()| Verdict::Sound),
        Command::Cost(words) => commands::cost::cost(&words).map(|()| Verdict::Sound),
    }
}
