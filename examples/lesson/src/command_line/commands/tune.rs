//! The command `tune`: reads the recordings, has each axis studied, and writes the policy, the picture and the report.

use std::fs;
use std::path::Path;

use crate::command_line::cli::Tune;
use crate::command_line::finish::{Verdict, drawn};
use crate::command_line::open;
use crate::command_line::output::{Output, Outputs};
use crate::error::Fault;
use crate::for_axes;
use crate::picture;
use crate::policy::{PolicyFile, checked, default_policy};
use crate::tune::pace::Pace;
use crate::tune::recording::Recording;
use crate::tune::report::Report;
use crate::tune::tuned::Tuned;
use crate::tune::{LEAST_FRAMES, check_centres, check_springs, check_travel, study, sweep_of, with_box};

pub(crate) fn tune(words: &Tune) -> Result<Verdict, Fault> {
    let file = words.policy.as_deref().map(open::policy).transpose()?;
    let recording = open::recording(&words.rest, file.as_ref())?;
    let options = words.options();
    check_travel(&options, &recording)?;
    check_centres(&options, &recording)?;
    for_axes!(recording.names.len(), tune_axes(words, &recording, file))
}

fn tune_axes<const N: usize>(words: &Tune, recording: &Recording, file: Option<PolicyFile>) -> Result<Verdict, Fault> {
    let file = file.map(|file| file.arranged(&words.rest, &recording.names)).transpose()?;
    let (base, around) = match &file {
        Some(file) => (file.check::<N>()?, file.plan::<N>()?),
        None => (checked(default_policy(&recording.names), &words.rest)?, None),
    };
    let options = words.options();
    let options = around.as_ref().map_or(options.clone(), |plan| with_box(&options, recording, plan));
    let pace = Pace::of(recording, LEAST_FRAMES)?;
    let sweep = words.sweep.as_deref().map(|path| swept(path, words, file.as_ref())).transpose()?;
    let sweep = sweep.map(|sweep| sweep_of(sweep, recording, &pace)).transpose()?;

    let inputs = [Some(words.rest.as_path()), words.sweep.as_deref(), words.policy.as_deref()];
    let mut outputs = Outputs::beside(&inputs.into_iter().flatten().collect::<Vec<_>>());
    let picture = outputs.create(&words.picture)?;
    let policy = outputs.create_policy(&words.write, words.overwrite)?;

    let tuning = study(&options, recording, pace, sweep.as_ref(), base.policy());
    if words.policy.is_none() {
        check_springs(recording, &tuning)?;
    }
    let tuned = Tuned::of(base.policy(), &tuning);
    let verdict = if tuned.is_some() { Verdict::Sound } else { Verdict::Unsound };
    let mut written = vec![drawn(picture, picture::tune::svg(&tuning))?];
    if let Some(tuned) = &tuned {
        let checked = checked(tuned.policy, &words.rest)?;
        written.push(policy.whole_policy(&Tuned::toml(
            checked.policy(),
            &recording.names,
            around.as_ref(),
            &tuning,
        ))?);
    }
    let places = written.iter().map(|output| output.path().to_owned()).collect::<Vec<_>>();
    // Every file is whole before the first one takes its place.
    written.iter_mut().try_for_each(Output::complete)?;
    written.into_iter().try_for_each(Output::commit)?;

    let report = Report { tuning: &tuning, policy: base.policy(), tuned: tuned.as_ref(), swept: sweep.is_some() };
    report.print(&places, &words.write).map_err(|why| Fault::stdout(&why))?;
    Ok(verdict)
}

/// The recording of sweeps, which is another file than that of the rest.
fn swept(path: &Path, words: &Tune, file: Option<&PolicyFile>) -> Result<Recording, Fault> {
    if let (Ok(here), Ok(there)) = (fs::canonicalize(path), fs::canonicalize(&words.rest))
        && here == there
        && here.is_file()
    {
        return Err(Fault::new(path, "is the rest recording too", "give a recording of sweeps as --sweep"));
    }
    open::recording(path, file)
}
