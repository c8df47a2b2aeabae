//! The commands of a runner on any target, and the lines of its answers.

use core::fmt::{self, Write};

use crate::channels;
use crate::flight::fly;
use crate::log::{Flip, Log};

/// A command for a runner.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Command {
    /// Fly this many flights; write digest, steps and coverage.
    Fly(u32),
    /// Fly this many flights; write the digest of each.
    Each(u32),
    /// Fly the flight of this number; write every step.
    Rows(u32),
    /// Fly this many flights beside the float reference; write in how many steps they differ.
    Compare(u32),
    /// Read and write this many channels of each unit; write the number of readings and their digest.
    Channels(u32),
}

/// The result of a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// The command succeeded.
    Good,
    /// Something was never reached, or engine and reference differ.
    Bad,
    /// The command was not understood, or could not be answered.
    Usage,
}

impl Status {
    /// The exit code of a runner.
    pub const fn code(self) -> u8 {
        match self {
            Self::Good => 0,
            Self::Bad => 1,
            Self::Usage => 2,
        }
    }
}

const USAGE: &str = "usage: fly FLIGHTS | each FLIGHTS | rows FLIGHT | compare FLIGHTS | channels CHANNELS, then maybe: flip FLIGHT STEP\n";

/// Reads a command, answers it on `out`, and returns its result.
pub fn answer<'a>(words: impl Iterator<Item = &'a str>, out: &mut dyn Write) -> Status {
    let Some((command, flip)) = parse(words) else {
        // If this cannot be written either, the status still tells.
        let _ = out.write_str(USAGE);
        return Status::Usage;
    };
    run(command, flip, out).unwrap_or(Status::Usage)
}

fn parse<'a>(mut words: impl Iterator<Item = &'a str>) -> Option<(Command, Option<Flip>)> {
    let what = words.next()?;
    let number = words.next()?.parse().ok()?;
    let command = match what {
        "fly" => Command::Fly(number),
        "each" => Command::Each(number),
        "rows" => Command::Rows(number),
        "compare" => Command::Compare(number),
        "channels" => Command::Channels(number),
        _ => return None,
    };
    let flip = match words.next() {
        None => None,
        Some("flip") => Some(Flip { flight: words.next()?.parse().ok()?, step: words.next()?.parse().ok()? }),
        Some(_) => return None,
    };
    words.next().is_none().then_some((command, flip))
}

fn run(command: Command, flip: Option<Flip>, out: &mut dyn Write) -> Result<Status, fmt::Error> {
    match command {
        Command::Fly(flights) => {
            let mut log = Log::new().with_flip(flip);
            (0..flights).for_each(|number| fly(number, &mut log));
            figures(&log, flights, out)
        }
        Command::Each(flights) => {
            let mut log = Log::new().with_flip(flip);
            for number in 0..flights {
                fly(number, &mut log);
                writeln!(out, "flight {number} digest {:#010x}", log.flight_digest())?;
            }
            Ok(Status::Good)
        }
        Command::Rows(number) => {
            let mut log = Log::new().with_flip(flip).with_rows(out);
            fly(number, &mut log);
            Ok(Status::Good)
        }
        Command::Compare(_) if cfg!(not(feature = "reference")) => {
            writeln!(out, "this runner was built without the float reference: build it with the feature `reference`")?;
            Ok(Status::Usage)
        }
        Command::Compare(flights) => {
            let mut log = Log::new().comparing();
            (0..flights).for_each(|number| fly(number, &mut log));
            writeln!(out, "compared {}\ndiffering {}", log.steps, log.differing)?;
            Ok(if log.differing == 0 && log.steps > 0 { Status::Good } else { Status::Bad })
        }
        Command::Channels(count) => {
            let read = channels::read(count);
            writeln!(
                out,
                "steps {}\ndigest {:#010x}\nout-of-range {}",
                read.readings,
                read.digest(),
                read.out_of_range
            )?;
            // Both kinds of readings must have come.
            let both = read.out_of_range > 0 && read.out_of_range < read.readings;
            Ok(if both { Status::Good } else { Status::Bad })
        }
    }
}

/// Writes digest, steps, and what was reached, in a line each.
fn figures(log: &Log<'_>, flights: u32, out: &mut dyn Write) -> Result<Status, fmt::Error> {
    writeln!(out, "flights {flights}\nsteps {}\ndigest {:#010x}", log.steps, log.digest())?;
    let mut written = Ok(());
    log.coverage.for_each(|group, name, beside, count| {
        let space = if beside.is_empty() { "" } else { "-" };
        written = written.and_then(|()| writeln!(out, "reached {group} {name}{space}{beside} {count}"));
    });
    written?;
    let unreached = log.coverage.unreached();
    writeln!(out, "unreached {unreached}")?;
    Ok(if unreached == 0 { Status::Good } else { Status::Bad })
}
