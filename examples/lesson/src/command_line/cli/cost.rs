//! The words of the command line that `cost` takes.

use std::path::PathBuf;

use clap::Args;

use crate::cost::delay::Reaction;
use crate::number;

const PICTURE: &str = "cost.svg";

#[derive(Args)]
pub(crate) struct CostWords {
    /// Speeds along the path, in metres a second, 1 to 300; up to 6, separated by commas
    #[arg(long, value_name = "M_PER_S", default_value = "10,15,20,30", value_delimiter = ',', value_parser = speed)]
    #[arg(allow_negative_numbers = true)]
    pub(crate) speed_m_per_s: Vec<f64>,
    /// Banks, in degrees: 0 is level, 90 on its side, 180 on its back; up to 5
    #[arg(long, value_name = "DEG", default_value = "0,30,60,90", value_delimiter = ',', value_parser = bank)]
    #[arg(allow_negative_numbers = true)]
    pub(crate) bank_deg: Vec<f64>,
    /// Dive angles, in degrees: 0 is level, 90 straight down; up to 4
    #[arg(long, value_name = "DEG", default_value = "0,30", value_delimiter = ',', value_parser = dive)]
    #[arg(allow_negative_numbers = true)]
    pub(crate) dive_deg: Vec<f64>,
    /// From one frame of the instructor's to the next, in milliseconds, 0.5 to 1000 (20 is 50 frames a second)
    #[arg(long, value_name = "MS", default_value = "20", value_parser = frame, allow_negative_numbers = true)]
    pub(crate) frame_ms: f64,
    /// Frames in a row beyond the threshold before it is a takeover, 1 to 255. Default: 1
    #[arg(long, value_name = "FRAMES", value_parser = confirm, allow_negative_numbers = true)]
    #[arg(conflicts_with = "policy")]
    pub(crate) confirm: Option<u8>,
    /// Takes the largest confirm of the watched axes of this policy (TOML; `lesson policy` prints one)
    #[arg(long, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,
    /// What radio links, box and servo take, in milliseconds, 0 to 10000 (20: common practice, no source)
    #[arg(long, value_name = "MS", default_value = "20", value_parser = link, allow_negative_numbers = true)]
    pub(crate) link_ms: f64,
    /// From one frame of the pulse train that goes out to the next, in milliseconds, 0 to 1000; 0: none is waited for
    #[arg(long, value_name = "MS", default_value = "0", value_parser = output_frame, allow_negative_numbers = true)]
    pub(crate) output_frame_ms: f64,
    /// Whose reaction it is, from what the instructor sees to the stick past its threshold
    #[arg(long, value_name = "WHOSE", default_value = "watching", conflicts_with = "reaction_ms")]
    pub(crate) reaction: Reaction,
    /// The same in milliseconds, 0 to 60000: put in what you measured
    #[arg(long, value_name = "MS", value_parser = reaction, allow_negative_numbers = true)]
    pub(crate) reaction_ms: Option<f64>,
    /// Where the picture goes (SVG)
    #[arg(long, value_name = "FILE", default_value = PICTURE)]
    pub(crate) picture: PathBuf,
}

fn speed(text: &str) -> Result<f64, String> {
    number::option(text, 1.0..=300.0, &number::METRES_A_SECOND)
}

fn bank(text: &str) -> Result<f64, String> {
    number::option(text, 0.0..=180.0, &number::DEGREES)
}

fn dive(text: &str) -> Result<f64, String> {
    number::option(text, 0.0..=90.0, &number::DEGREES)
}

fn frame(text: &str) -> Result<f64, String> {
    number::option(text, 0.5..=1000.0, &number::MILLISECONDS)
}

fn link(text: &str) -> Result<f64, String> {
    number::option(text, 0.0..=10_000.0, &number::MILLISECONDS)
}

fn output_frame(text: &str) -> Result<f64, String> {
    number::option(text, 0.0..=1000.0, &number::MILLISECONDS)
}

fn reaction(text: &str) -> Result<f64, String> {
    number::option(text, 0.0..=60_000.0, &number::MILLISECONDS)
}

#[allow(clippy::cast_possible_truncation)] // at most 255
fn confirm(text: &str) -> Result<u8, String> {
    number::whole_option(text, 1..=255, "number of frames").map(|frames| frames as u8)
}
