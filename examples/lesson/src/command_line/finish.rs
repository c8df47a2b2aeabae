//! The end of a lesson: the picture drawn, the files in their places, the report printed.

use std::fmt;
use std::io::{self, Write};

use crate::caution::CAUTION;
use crate::command_line::output::Output;
use crate::compared::Told;
use crate::error::Fault;
use crate::tally::Tally;
use crate::{picture, report};

/// Whether all is well: engine and float reference agreed in every step, and every change was announced; of a bench, whether
/// it passed; of thresholds, whether they hold what was wanted.
#[must_use]
pub(crate) enum Verdict {
    Sound,
    Unsound,
}

/// Draws and prints what came of a lesson, beside what the plain threshold makes of it.
///
/// The files are moved to their places before anything is printed, so that whoever reads only the first lines of the
/// report has them all the same.
pub(crate) fn finish<const N: usize>(
    shipped: &Tally<N>,
    plain: &Tally<N>,
    picture: Output,
    tables: impl Iterator<Item = Output>,
    told: &Told,
) -> Result<Verdict, Fault> {
    let picture = drawn(picture, picture::svg(shipped))?;
    let mut outputs = std::iter::once(picture).chain(tables).collect::<Vec<_>>();
    let places = outputs.iter().map(|output| output.path().to_owned()).collect::<Vec<_>>();
    // Every file is whole before the first one takes its place.
    outputs.iter_mut().try_for_each(Output::complete)?;
    outputs.into_iter().try_for_each(Output::commit)?;

    let mut out = io::BufWriter::new(io::stdout().lock());
    let mut print = || -> io::Result<()> {
        report::print(&mut out, shipped, plain)?;
        writeln!(out)?;
        told.lines.iter().try_for_each(|line| writeln!(out, "{line}"))?;
        for place in &places {
            writeln!(out, "Written: {}", place.display())?;
        }
        CAUTION.iter().try_for_each(|line| writeln!(out, "{line}"))?;
        out.flush()
    };
    print().map_err(|why| Fault::stdout(&why))?;
    Ok(if shipped.agreement.is_sound() && told.differs_us.is_none() { Verdict::Sound } else { Verdict::Unsound })
}

/// This file with a picture, or the words of the picture's library where it failed.
pub(crate) fn drawn(picture: Output, svg: Result<String, fmt::Error>) -> Result<Output, Fault> {
    match svg {
        Ok(svg) => picture.whole(&svg),
        Err(why) => Err(Fault::told(picture.path(), why.to_string())),
    }
}
