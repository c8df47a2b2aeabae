//! The command `preflight`: the check of a bench before flight, with a simulated or a recorded bench session.

use std::io::{self, Write};
use std::path::Path;

use handback::preflight::{Action, Preflight};
use handback::{CheckedPolicy, Engine};

use crate::caution::CAUTION;
use crate::command_line::cli::PreflightWords;
use crate::command_line::finish::Verdict;
use crate::command_line::open;
use crate::command_line::output::{Output, Outputs};
use crate::error::Fault;
use crate::for_axes;
use crate::policy::{DEFAULT, PolicyFile, checked, default_policy};
use crate::preflight::bench::Bench;
use crate::preflight::fault::BenchFault;
use crate::preflight::sheet::Sheet;
use crate::preflight::throws;
use crate::trace::{Read, Steps, TraceReader, TraceWriter};

pub(crate) fn preflight(words: &PreflightWords) -> Result<Verdict, Fault> {
    if let Some(path) = &words.trace {
        let trace = open::trace(path)?;
        let file = words.policy.as_deref().map(open::policy).transpose()?;
        let names = trace.names_with(file.as_ref())?;
        return for_axes!(names.len(), recorded(words, path, trace, file, names));
    }
    let file = match &words.policy {
        Some(path) => open::policy(path)?,
        None => PolicyFile::parse(Path::new("the default policy"), DEFAULT.to_owned())?,
    };
    for_axes!(file.names().len(), simulated(words, &file))
}

/// Checks a recorded bench session.
fn recorded<const N: usize>(
    words: &PreflightWords,
    path: &Path,
    trace: TraceReader,
    file: Option<PolicyFile>,
    names: Vec<String>,
) -> Result<Verdict, Fault> {
    let file = file.map(|file| file.arranged(path, &names)).transpose()?;
    let (policy, plan) = match &file {
        Some(file) => (file.check::<N>()?, file.plan::<N>()?),
        None => (checked(default_policy(&names), path)?, None),
    };
    let mut trace = Steps::new(trace, plan.as_ref())?;
    let (mut engine, mut preflight) = (Engine::new(&policy), check_of(&policy, &names, words)?);
    let mut sheet = Sheet::new(format!("A recorded bench session: {}", path.display()), names);
    while let Some(Read { row, .. }) = trace.next()? {
        let outcome = engine.step(row.now(), row.inputs());
        let progress = preflight.step(row.inputs(), &outcome);
        sheet.note(row.time_us, &progress, preflight.findings());
    }
    caution()?; // after all rows are read, so that a bad row prints its error alone
    finish(&sheet, &preflight, None)
}

/// Checks a simulated bench session of two people who do what each step asks, with the faults of the command line.
fn simulated<const N: usize>(words: &PreflightWords, file: &PolicyFile) -> Result<Verdict, Fault> {
    let (names, policy) = (file.names(), file.check::<N>()?);
    let mut bench = Bench::new(&policy, words.seed);
    for text in &words.fault {
        BenchFault::read(text, &names)?.inject(&mut bench);
    }
    let (mut engine, mut preflight) = (Engine::new(&policy), check_of(&policy, &names, words)?);
    let inputs = words.policy.as_deref();
    let mut outputs = Outputs::beside(&inputs.into_iter().collect::<Vec<_>>());
    let record = words.record.as_deref().map(|path| TraceWriter::new(outputs.create(path)?, &names));
    let mut record = record.transpose()?;

    caution()?;
    let mut sheet = Sheet::new(format!("A simulated bench session: seed {}", words.seed), names);
    while let Some(row) = bench.next(preflight.asked()) {
        let outcome = engine.step(row.now(), row.inputs());
        let progress = preflight.step(row.inputs(), &outcome);
        sheet.note(row.time_us, &progress, preflight.findings());
        if progress.begun {
            bench.hear(progress.step);
        }
        if let Some(record) = &mut record {
            record.write(&row)?;
        }
    }
    finish(&sheet, &preflight, record.map(TraceWriter::into_output))
}

fn check_of<'p, const N: usize>(
    policy: &'p CheckedPolicy<N>,
    names: &[String],
    words: &PreflightWords,
) -> Result<Preflight<N, &'p CheckedPolicy<N>>, Fault> {
    let preflight = Preflight::new(policy).with_student_throws(throws::read(&words.student_throw, names)?);
    Ok(if words.no_button { preflight.without_button() } else { preflight })
}

/// Prints the precautions above everything else.
fn caution() -> Result<(), Fault> {
    let mut out = io::stdout().lock();
    let mut print = || -> io::Result<()> {
        CAUTION.iter().try_for_each(|line| writeln!(out, "{line}"))?;
        writeln!(out)?;
        out.flush()
    };
    print().map_err(|why| Fault::stdout(&why))
}

/// Moves the file to its place and prints the sheet.
fn finish<const N: usize>(
    sheet: &Sheet,
    preflight: &Preflight<N, &CheckedPolicy<N>>,
    record: Option<Output>,
) -> Result<Verdict, Fault> {
    let place = record.as_ref().map(|record| record.path().to_owned());
    if let Some(mut record) = record {
        record.complete()?;
        record.commit()?;
    }
    let asked = Some(preflight.asked()).filter(|step| *step != Action::Done);
    let mut out = io::BufWriter::new(io::stdout().lock());
    let mut print = || -> io::Result<()> {
        sheet.print(&mut out, asked, preflight.findings(), preflight.untold())?;
        if let Some(place) = &place {
            writeln!(out, "Written: {}", place.display())?;
        }
        out.flush()
    };
    print().map_err(|why| Fault::stdout(&why))?;
    Ok(if preflight.passed() { Verdict::Sound } else { Verdict::Unsound })
}
