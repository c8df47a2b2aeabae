//! Flies lessons through the takeover engine, simulated or recorded, and shows who flew when and why.
//!
//! | file | one idea |
//! |---|---|
//! | `cli` | the words of the command line |
//! | `commands`, `preflight` | the commands |
//! | `cost` | delays and falls |
//! | `lane`, `plain`, `finish` | one policy being flown; what it is compared with; the end that fly and replay share |
//! | `learn` | both transmitters of a box, from its raw trace to a box file |
//! | `link` | what a trainer box is asked, and what it answers |
//! | `port`, `record` | where lines come from; recordings of sticks from there |
//! | `tune` | thresholds from a recording of sticks that nobody touches |
//! | `scenario` | a simulated lesson, row by row |
//! | `row` | what a step is given |
//! | `table` | what all tables that are read have in common |
//! | `number`, `count` | the form of a number that is read; of a count that is printed |
//! | `near`, `looks` | the word or the file that was meant |
//! | `trace`, `decisions`, `policy` | the formats of files |
//! | `tally`, `timeline` | what is counted while a lesson flies |
//! | `compared` | the decisions of a box against those of this computer |
//! | `report`, `picture` | what people see of it |
//! | `error`, `progress` | failures with place and remedy; the bar |
//! | `output`, `interrupt` | files that are whole or not there, whatever ends the command |

mod axes;
mod caution;
mod cli;
mod commands;
mod compared;
mod cost;
mod count;
mod decisions;
mod error;
mod finish;
mod interrupt;
mod lane;
mod learn;
mod link;
mod looks;
mod names;
mod near;
mod number;
mod output;
mod picture;
mod plain;
mod policy;
mod port;
mod preflight;
mod progress;
mod record;
mod report;
mod row;
mod scenario;
mod table;
mod tally;
mod timeline;
mod trace;
mod tune;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser;

use cli::{Cli, Command};
use error::Fault;
use finish::Verdict;

/// Bad input, whether in a file or on the command line.
const REFUSED: u8 = 2;

fn main() -> ExitCode {
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
        Command::Preflight(words) => preflight::preflight(&words),
        Command::Tune(words) => commands::tune::tune(&words),
        Command::Record(words) => record::record(&words),
        Command::Learn(words) => learn::learn(&words),
        Command::Box(words) => commands::box_file::box_file(&words),
        Command::Debrief(words) => commands::debrief::debrief(&words),
        Command::Policy(words) => commands::policy::policy(&words).map(|()| Verdict::Sound),
        Command::Cost(words) => commands::cost::cost(&words).map(|()| Verdict::Sound),
    }
}
