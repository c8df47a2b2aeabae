//! The command `tune`: reads the recordings, has each axis studied, and writes the policy, the picture and the report.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

use crate::command_line::cli::Tune;
use crate::command_line::finish::{Verdict, drawn};
use crate::command_line::open;
use crate::command_line::output::{Output, Outputs};
use crate::error::Fault;
use crate::for_axes;
use crate::picture;
use crate::policy::PolicyFile;
use crate::tune::frozen::{Frozen, Stillness};
use crate::tune::recording::Recording;
use crate::tune::session::Session;

pub(crate) fn tune(words: &Tune) -> Result<Verdict, Fault> {
    let file = words.policy.as_deref().map(open::policy).transpose()?;
    let recording = open::recording(&words.rest, file.as_ref())?;
    for_axes!(recording.names.len(), tune_axes(words, &recording, file))
}

fn tune_axes<const N: usize>(words: &Tune, recording: &Recording, file: Option<PolicyFile>) -> Result<Verdict, Fault> {
    let mut session = Session::<N>::new(recording, file, &words.options())?;
    if let Some(path) = &words.sweep {
        let sweep = swept(path, words, session.file())?;
        session = session.with_sweep(sweep)?;
    }

    if let (Some(flown), Some(rest)) = (&words.student_flown, &words.student_rest) {
        let [flown, rest] = [flown, rest].map(|path| open::open(path).and_then(Stillness::read));
        session = session.with_student(Frozen { flown: flown?, rest: rest? });
    }

    let inputs = [
        Some(words.rest.as_path()),
        words.sweep.as_deref(),
        words.student_flown.as_deref(),
        words.student_rest.as_deref(),
        words.policy.as_deref(),
    ];
    let mut outputs = Outputs::beside(&inputs.into_iter().flatten().collect::<Vec<_>>());
    let picture = outputs.create(&words.picture)?;
    let policy = outputs.create_policy(&words.write, words.overwrite)?;

    let studied = session.study()?;
    let mut written = vec![drawn(picture, picture::tune::svg(&studied.tuning))?];
    let verdict = match studied.toml() {
        Some(toml) => {
            written.push(policy.whole_policy(&toml)?);
            Verdict::Sound
        }
        None => Verdict::Unsound,
    };
    let places = written.iter().map(|output| output.path().to_owned()).collect::<Vec<_>>();
    // Every file is whole before the first one takes its place.
    written.iter_mut().try_for_each(Output::complete)?;
    written.into_iter().try_for_each(Output::commit)?;

    let mut out = io::BufWriter::new(io::stdout().lock());
    let printed = studied.report(&mut out, &places, &words.write).and_then(|()| out.flush());
    printed.map_err(|why| Fault::stdout(&why))?;
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
