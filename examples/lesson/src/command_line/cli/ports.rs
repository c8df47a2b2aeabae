//! The words of the commands that listen to a port.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::{PageWords, minutes};

#[derive(Args)]
pub(crate) struct RecordWords {
    /// Where rows come from: a serial port of a box, /dev/input/js0 or another joystick, a file, or - for standard input
    #[arg(required_unless_present = "list")]
    pub(crate) port: Option<PathBuf>,
    /// Where the recording of hands off goes (CSV, for `tune`)
    #[arg(default_value = "rest.csv")]
    pub(crate) rest: PathBuf,
    /// Also records sweeps, into this file
    #[arg(long, value_name = "FILE")]
    pub(crate) sweep: Option<PathBuf>,
    /// The longest recording of hands off, in minutes, 0.1 to 100000; it stops by itself when `tune` needs no more
    #[arg(long, default_value_t = 15.0, value_parser = minutes, allow_negative_numbers = true)]
    pub(crate) minutes: f64,
    /// Prints the serial ports and joysticks of this machine
    #[arg(long)]
    pub(crate) list: bool,
}

#[derive(Args)]
pub(crate) struct LearnWords {
    /// The serial port of the box; `lesson record --list` shows them. Or a file with a raw trace
    pub(crate) port: PathBuf,
    /// Where the box file goes (TOML)
    #[arg(default_value = "box.toml")]
    pub(crate) file: PathBuf,
    /// Replaces a file that was edited, or that lesson did not write
    #[arg(long)]
    pub(crate) overwrite: bool,
}

#[derive(Args)]
pub(crate) struct BoxWords {
    /// What to do with the file of the box
    pub(crate) what: BoxWhat,
    /// The serial port of the box; `lesson record --list` shows them
    pub(crate) port: PathBuf,
    /// The box file (TOML). Default: `read` prints it; `check` only checks that the box holds one
    pub(crate) file: Option<PathBuf>,
    /// Writes without asking; the differences are printed all the same
    #[arg(long)]
    pub(crate) yes: bool,
    /// Replaces a file that was edited, or that lesson did not write, when a box is read into it
    #[arg(long)]
    pub(crate) overwrite: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum BoxWhat {
    /// From the box into FILE
    Read,
    /// FILE to the box: only in its bench mode, with the lesson switch off
    Write,
    /// Whether the box holds FILE
    Check,
}

#[derive(Args)]
pub(crate) struct DebriefWords {
    /// The serial port of the box, or a file with what it sent
    pub(crate) port: PathBuf,
    /// The box file (TOML). Default: fetched from the box, into debrief.toml
    #[arg(long, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,
    /// Where the rows of the lesson go (CSV)
    #[arg(long, value_name = "FILE", default_value = "debrief.csv")]
    pub(crate) trace: PathBuf,
    /// Where the picture goes (SVG)
    #[arg(long, value_name = "FILE", default_value = "debrief.svg")]
    pub(crate) picture: PathBuf,
    /// Also writes what the engine decided in every step (CSV)
    #[arg(long, value_name = "FILE")]
    pub(crate) decisions: Option<PathBuf>,
    /// Replaces a debrief.toml that was edited, or that lesson did not write
    #[arg(long)]
    pub(crate) overwrite: bool,
    #[command(flatten)]
    pub(crate) page: PageWords,
}
