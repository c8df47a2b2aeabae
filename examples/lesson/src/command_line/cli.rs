//! The words of the command line.

mod cost;
mod ports;

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

pub(crate) use self::cost::CostWords;
pub(crate) use self::ports::{BoxWhat, BoxWords, DebriefWords, LearnWords, RecordWords};

use crate::caution::IN_SHORT;
use crate::number;
use crate::tune::options::{Centre, Options};

const SEED: u64 = 1;
const MINUTES: f64 = 5.0;
const PICTURE: &str = "lesson.svg";
/// Another, so that a lesson that is flown again leaves the picture of its flight alone.
const REPLAY_PICTURE: &str = "replay.svg";

/// Flies lessons through the takeover engine, simulated or recorded, and shows who flew when and why.
///
/// Without a command: `fly` with its defaults.
#[derive(Parser)]
#[command(name = "lesson", version, after_help = IN_SHORT)]
pub(crate) struct Cli {
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Subcommand)]
pub(crate) enum Command {
    /// Flies a simulated lesson, and the same rows with a plain threshold to compare
    #[command(after_help = IN_SHORT)]
    Fly(Fly),
    /// Flies a recorded lesson: the same report and picture from a trace
    #[command(after_help = IN_SHORT)]
    Replay(Replay),
    /// Checks a bench before flight, step by step: a simulated one, or a recorded session
    #[command(after_help = IN_SHORT)]
    Preflight(PreflightWords),
    /// Recommends thresholds from a recording of sticks that nobody touches, with the picture behind them
    #[command(after_help = IN_SHORT)]
    Tune(Tune),
    /// Records your sticks for `tune`, hands off and swept, from a box, a joystick or standard input
    #[command(after_help = IN_SHORT)]
    Record(RecordWords),
    /// Learns both transmitters of a trainer box, one stick after another, and writes its box file
    #[command(after_help = IN_SHORT)]
    Learn(LearnWords),
    /// Reads the file of a trainer box, writes it, or compares it with yours
    #[command(after_help = IN_SHORT)]
    Box(BoxWords),
    /// Fetches the last lesson of a trainer box and replays it: from the port to the picture
    #[command(after_help = IN_SHORT)]
    Debrief(DebriefWords),
    /// Prints the default policy with every setting; or checks yours, or prints it as Rust or C
    #[command(after_help = IN_SHORT)]
    Policy(PolicyWords),
    /// Shows what a delay costs the model, in metres of height and distance: a table and a picture
    #[command(after_help = IN_SHORT)]
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
    /// The policy or the box (TOML; `lesson policy` prints one). Default: that of `lesson policy`, with all axes sprung but those
    /// named throttle or collective, which are unsprung with a failsafe of -100 points
    #[arg(long, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,
    /// Where the picture goes (SVG)
    #[arg(long, value_name = "FILE", default_value = REPLAY_PICTURE)]
    pub(crate) picture: PathBuf,
    /// Also writes what the engine decided in every step (CSV)
    #[arg(long, value_name = "FILE")]
    pub(crate) decisions: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) page: PageWords,
}

#[derive(Args, Clone)]
pub(crate) struct PageWords {
    /// Also writes the lesson as a page for a browser, to look back at (HTML)
    #[arg(long = "page", value_name = "FILE")]
    pub(crate) file: Option<PathBuf>,
    /// The page without a lesson, which `bash examples/page/build` makes
    #[arg(long = "page-from", value_name = "FILE", default_value = "handback.html", requires = "file")]
    pub(crate) from: PathBuf,
}

#[derive(Args)]
pub(crate) struct PreflightWords {
    /// The recorded bench session (CSV, the same trace as `replay` reads). Default: simulates one
    pub(crate) trace: Option<PathBuf>,
    /// The policy or the box (TOML). Default: that of `lesson policy`; for a trace the same as `replay` takes
    #[arg(long, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,
    /// A fault of the simulated bench, as often as wanted: reversed:AXIS, swapped:AXIS:AXIS, centre:AXIS:POINTS,
    /// throw:AXIS:PERCENT, dead:AXIS, repeats (the receiver repeats its last frame when the transmitter is off); of the
    /// student's transmitter, or after `instructor:` of the instructor's
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
    /// A recording of the student's frames while the student flies, a column for each shared axis: with --student-rest,
    /// for `frozen_after_ms`
    #[arg(long, value_name = "FILE", requires = "student_rest")]
    pub(crate) student_flown: Option<PathBuf>,
    /// A recording of the same frames with the student's hands off
    #[arg(long, value_name = "FILE", requires = "student_flown")]
    pub(crate) student_rest: Option<PathBuf>,
    /// The policy or the box to start from (TOML): kinds of axes, and all that is not tuned. Default: as for `replay`
    #[arg(long, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,
    /// How seldom noise may take the craft: once in so many hours of flying, 0.01 to 1000000
    #[arg(long, value_name = "HOURS", default_value_t = Options::default().hours_apart, value_parser = hours, allow_negative_numbers = true)]
    pub(crate) hours_apart: f64,
    /// Counts from a stick's centre to its end, where columns are counts of a converter; 1 to 1000000000
    #[arg(long, value_name = "COUNTS", value_parser = counts, allow_negative_numbers = true)]
    pub(crate) full_travel: Option<f64>,
    /// The quantisation step of the readings, in points, 0.001 to 50. Default: the smallest difference seen in the
    /// recordings; else that of the unit, where all readings are whole microseconds or counts
    #[arg(long, value_name = "POINTS", value_parser = step, allow_negative_numbers = true)]
    pub(crate) step: Option<f64>,
    /// A reading this many quantisation steps from its rest never takes the craft, 1 to 10
    #[arg(long, value_name = "STEPS", default_value_t = Options::default().clear_steps, value_parser = clear_steps, allow_negative_numbers = true)]
    pub(crate) clear_steps: u8,
    /// The `jitter` of the box's pulse trains, in microseconds, 0 to 100: one disturbed frame may be off by as much.
    /// Default: that of the box, where --policy is a box file; else 0
    #[arg(long, value_name = "US", value_parser = jitter, allow_negative_numbers = true)]
    pub(crate) jitter: Option<f64>,
    /// The `centre` of an axis' channel in the box, such as aileron:1520, 1250 to 1750 us; once for each axis that has
    /// one other than 1500. Default: that of the box, where --policy is a box file. Rests are given from there
    #[arg(long, value_name = "AXIS:US", value_parser = centre)]
    pub(crate) centre: Vec<Centre>,
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
    /// The policy or the box to check (TOML). Default: prints the default policy
    pub(crate) file: Option<PathBuf>,
    /// Prints the policy as Rust, or the whole box: a module of its own for firmware, such as policy.rs
    #[arg(long)]
    pub(crate) rust: bool,
    /// Prints the policy as C: a header of its own for firmware, such as policy.h
    #[arg(long, conflicts_with = "rust")]
    pub(crate) c: bool,
    /// Prints the default box instead: the policy, and beside it channels, pulse trains and cues
    #[arg(long = "box", conflicts_with = "file")]
    pub(crate) whole_box: bool,
}

impl Tune {
    /// What of it is about the recording.
    pub(crate) fn options(&self) -> Options {
        Options {
            hours_apart: self.hours_apart,
            full_travel: self.full_travel,
            step: self.step,
            clear_steps: self.clear_steps,
            jitter: self.jitter,
            centre: self.centre.clone(),
        }
    }
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

fn step(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(points) if (0.001..=50.0).contains(&points) => Ok(points),
        _ => Err("give the step in points, 0.001 to 50, such as 0.2 for a microsecond".to_owned()),
    }
}

fn clear_steps(text: &str) -> Result<u8, String> {
    match text.parse::<u8>() {
        Ok(steps @ 1..=10) => Ok(steps),
        _ => Err("give a whole number of steps from 1 to 10".to_owned()),
    }
}

fn jitter(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(us) if (0.0..=100.0).contains(&us) => Ok(us),
        _ => Err("give microseconds from 0 to 100, such as 6".to_owned()),
    }
}

fn centre(text: &str) -> Result<Centre, String> {
    let said = text.rsplit_once(':').and_then(|(axis, us)| Some((axis, us.parse::<f64>().ok()?)));
    match said {
        Some((axis, us)) if !axis.is_empty() && (1250.0..=1750.0).contains(&us) => {
            Ok(Centre { axis: axis.to_owned(), us })
        }
        _ => Err("give an axis and microseconds from 1250 to 1750, such as aileron:1520".to_owned()),
    }
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
    fn every_help_text_ends_with_the_caution() {
        let mut whole = <Cli as CommandFactory>::command();
        let mut helps = vec![whole.render_long_help(), whole.render_help()];
        // `help` is clap's own, and shows one of the others.
        let ours = whole.get_subcommands_mut().filter(|one| one.get_name() != "help");
        helps.extend(ours.flat_map(|one| [one.render_long_help(), one.render_help()]));
        assert_eq!(helps.len(), 2 * 11);
        for help in helps {
            assert!(help.to_string().trim_end().ends_with(IN_SHORT), "{help}");
        }
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
