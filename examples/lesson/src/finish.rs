//! The end of a lesson: the picture drawn, the files in their places, the report printed.

use std::error::Error;
use std::io::{self, Write};

use crate::caution::CAUTION;
use crate::error::Fault;
use crate::output::Output;
use crate::tally::Tally;
use crate::{picture, report};

/// Whether all is well: engine and float reference agreed in every step, and every change was announced; of a bench, whether
/// it passed; of thresholds, whether they hold what was wanted.
#[must_use]
pub(crate) enum Verdict {
    Sound,
    Unsound,
}

/// What else is told at the end.
#[derive(Default)]
pub(crate) struct Told {
    pub(crate) lines: Vec<String>,
    /// Whether it is a finding that makes the lesson unsound.
    pub(crate) is_wrong: bool,
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
    picture::draw(picture.path_for_now(), shipped).map_err(|why| picture.fault(io_error(why)))?;
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
    Ok(if shipped.agreement.is_sound() && !told.is_wrong { Verdict::Sound } else { Verdict::Unsound })
}

/// What the picture's library hands on from the system, else its own words.
pub(crate) fn io_error(why: Box<dyn Error>) -> io::Error {
    why.downcast::<io::Error>().map_or_else(|why| io::Error::other(why.to_string()), |why| *why)
}
