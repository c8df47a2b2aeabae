//! The words of the command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

use crate::cost::CostWords;
use crate::number;

const SEED: u64 = 1;
const MINUTES: f64 = 5.0;
const HOURS_APART: f64 = 100.0;
const PICTURE: &str = "lesson.svg";
/// Another, so that a lesson that is flown again leaves the picture of its flight alone.
const REPLAY_PICTURE: &str = "replay.svg";

/// Flies lessons through the takeover engine, simulated or recorded, and shows who flew when and why.
///
/// Without a command: `fly` with its defaults.
#[derive(Parser)]
#[command(name = "lesson", version)]
pub(crate) struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
pub(crate) enum Command {
    /// Flies a simulated lesson, and the same rows with a plain threshold to compare
    Fly(Fly),
    /// Flies a recorded lesson: the same report and picture from a trace
    Replay(Replay),
    /// Checks a bench before flight, step by step: a simulated one, or a recorded session
    Rehearse(RehearseWords),
    /// Recommends thresholds from a recording of sticks that nobody touches, with the picture behind them
    Tune(Tune),
    /// Prints the default policy with every setting; or checks yours, or prints it as Rust or C
    Policy(PolicyWords),
    /// Shows what a delay costs the model, in metres of height and distance: a table and a picture
    Cost(CostWords),
}

#[derive(Args)]
pub(crate) struct Fly {
    /// Which lesson: the same number is the same lesson on every machine; 0 to 18446744073709551615
    #[arg(long, value_name = "NUMBER", default_value_t = SEED, value_parser = seed, allow_negative_numbers = true)]
    pub(crate) seed: u64,
    /// How long the lesson is, in minutes, 0.1 to 100000
    #[arg(long, default_value_t = MINUTES, value_parser = minutes, allow_negative_numbers = true)]
    pub(crate) minutes: f64,
    /// Where the picture goes (SVG)
    #[arg(long, value_name = "FILE", default_value = PICTURE)]
    pub(crate) picture: PathBuf,
    /// Also writes the rows as a trace, for `replay` (CSV: microseconds, points)
    #[arg(long, value_name = "FILE")]
    pub(crate) record: Option<PathBuf>,
    /// Also writes the policy that the lesson was flown with, for `replay` (TOML)
    #[arg(long, value_name = "FILE")]
    pub(crate) record_policy: Option<PathBuf>,
    /// Also writes what the engine decided in every step (CSV)
    #[arg(long, value_name = "FILE")]
    pub(crate) decisions: Option<PathBuf>,
    /// Replaces a file of --record-policy that was edited, or that lesson did not write
    #[arg(long)]
    pub(crate) overwrite: bool,
}

#[derive(Args)]
pub(crate) struct Replay {
    /// The trace (CSV: microseconds, points; 1 to 16 axes, any frame rate)
    pub(crate) trace: PathBuf,
    /// The policy (TOML; `lesson policy` prints one). Default: that of `lesson policy`, with all axes sprung but those
    /// named throttle or collective, which are unsprung with a failsafe of -100 points
    #[arg(long, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,
    /// Where the picture goes (SVG)
    #[arg(long, value_name = "FILE", default_value = REPLAY_PICTURE)]
    pub(crate) picture: PathBuf,
    /// Also writes what the engine decided in every step (CSV)
    #[arg(long, value_name = "FILE")]
    pub(crate) decisions: Option<PathBuf>,
}

#[derive(Args)]
pub(crate) struct RehearseWords {
    /// The recorded bench session (CSV, the same trace as `replay` reads). Default: simulates one
    pub(crate) trace: Option<PathBuf>,
    /// The policy (TOML). Default: that of `lesson policy`; for a trace the same as `replay` takes
    #[arg(long, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,
    /// A fault of the simulated bench, as often as wanted: reversed:AXIS, swapped:AXIS:AXIS, centre:AXIS:POINTS,
    /// throw:AXIS:PERCENT, dead:AXIS; of the student's transmitter, or after `instructor:` of the instructor's
    #[arg(long, value_name = "FAULT", conflicts_with = "trace")]
    pub(crate) fault: Vec<String>,
    /// Which session: the same number is the same session on every machine
    #[arg(long, value_name = "NUMBER", default_value_t = SEED, value_parser = seed, allow_negative_numbers = true)]
    #[arg(conflicts_with = "trace")]
    pub(crate) seed: u64,
    /// A student's stick that is meant to have only so much of full travel, as often as wanted: AXIS:PERCENT, 30 to 100
    #[arg(long, value_name = "THROW")]
    pub(crate) student_throw: Vec<String>,
    /// The box has no instructor-now button
    #[arg(long)]
    pub(crate) no_button: bool,
    /// Also writes the simulated session as a trace, to be checked again (CSV: microseconds, points)
    #[arg(long, value_name = "FILE", conflicts_with = "trace")]
    pub(crate) record: Option<PathBuf>,
}

#[derive(Args)]
pub(crate) struct Tune {
    /// The rest recording: sticks that nobody touches (CSV: time, and us:, points:, i: or counts: of each axis)
    pub(crate) rest: PathBuf,
    /// A recording of the same sticks swept from end to end, and let go from the ends (the same columns): for the dwell
    #[arg(long, value_name = "FILE")]
    pub(crate) sweep: Option<PathBuf>,
    /// The policy to start from (TOML): kinds of axes, and all that is not tuned. Default: as for `replay`
    #[arg(long, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,
    /// How seldom noise may take the craft: once in so many hours of flying, 0.01 to 1000000
    #[arg(long, value_name = "HOURS", default_value_t = HOURS_APART, value_parser = hours, allow_negative_numbers = true)]
    pub(crate) hours_apart: f64,
    /// Counts from a stick's centre to its end, where columns are counts of a converter; 1 to 1000000000
    #[arg(long, value_name = "COUNTS", value_parser = counts, allow_negative_numbers = true)]
    pub(crate) full_travel: Option<f64>,
    /// Where the tuned policy goes (TOML)
    #[arg(long, value_name = "FILE", default_value = "tuned.toml")]
    pub(crate) write: PathBuf,
    /// Replaces a file of --write that was edited, or that lesson did not write
    #[arg(long)]
    pub(crate) overwrite: bool,
    /// Where the picture goes (SVG)
    #[arg(long, value_name = "FILE", default_value = "tune.svg")]
    pub(crate) picture: PathBuf,
}

#[derive(Args)]
pub(crate) struct PolicyWords {
    /// The policy to check (TOML). Default: prints the default policy
    pub(crate) file: Option<PathBuf>,
    /// Prints the policy as Rust: a module of its own for firmware, such as policy.rs
    #[arg(long)]
    pub(crate) rust: bool,
    /// Prints the policy as C: a header of its own for firmware, such as policy.h
    #[arg(long, conflicts_with = "rust")]
    pub(crate) c: bool,
}

impl Cli {
    /// The command, or the one that an empty line stands for.
    pub(crate) fn command(self) -> Command {
        self.command.unwrap_or_else(|| {
            let picture = PICTURE.into();
            Command::Fly(Fly {
                seed: SEED,
                minutes: MINUTES,
                picture,
                record: None,
                record_policy: None,
                decisions: None,
                overwrite: false,
            })
        })
    }
}

fn seed(text: &str) -> Result<u64, String> {
    number::whole_option(text, 0..=u64::MAX, "number")
}

fn minutes(text: &str) -> Result<f64, String> {
    number::option(text, 0.1..=100_000.0, &number::MINUTES)
}

fn hours(text: &str) -> Result<f64, String> {
    number::option(text, 0.01..=1e6, &number::HOURS)
}

fn counts(text: &str) -> Result<f64, String> {
    number::option(text, 1.0..=1e9, &number::COUNTS)
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    use super::*;

    #[test]
    fn the_words_are_consistent() {
        <Cli as CommandFactory>::command().debug_assert();
    }

    #[test]
    fn an_empty_line_is_fly_with_its_defaults() {
        let fly = |words: &[&str]| match Cli::try_parse_from(words).unwrap().command() {
            Command::Fly(Fly { seed, minutes, picture, record, record_policy, decisions, overwrite }) => {
                (seed, minutes.to_bits(), picture, record, record_policy, decisions, overwrite)
            }
            _ => panic!("not fly"),
        };
        assert_eq!(fly(&["lesson"]), fly(&["lesson", "fly"]));
    }
}
