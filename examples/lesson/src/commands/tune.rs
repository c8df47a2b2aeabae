//! The command `tune`: reads the recordings, has each axis studied, and writes the policy, the picture and the report.

use crate::cli::Tune;
use crate::error::Fault;
use crate::finish::{Verdict, io_error};
use crate::for_axes;
use crate::output::{Output, Outputs};
use crate::picture;
use crate::policy::{PolicyFile, checked, default_policy};
use crate::tune::frozen::{Frozen, Stillness};
use crate::tune::pace::Pace;
use crate::tune::recording::Recording;
use crate::tune::report::Report;
use crate::tune::tuned::Tuned;
use crate::tune::{LEAST_FRAMES, Tuning, check_centres, check_springs, check_travel, study, sweep_of, with_box};

pub(crate) fn tune(words: &Tune) -> Result<Verdict, Fault> {
    let file = words.policy.as_deref().map(PolicyFile::read).transpose()?;
    let recording = Recording::read(&words.rest, file.as_ref())?;
    check_travel(words, &recording)?;
    check_centres(words, &recording)?;
    for_axes!(recording.names.len(), tune_axes(words, &recording, file))
}

fn tune_axes<const N: usize>(words: &Tune, recording: &Recording, file: Option<PolicyFile>) -> Result<Verdict, Fault> {
    let file = file.map(|file| file.arranged(&words.rest, &recording.names)).transpose()?;
    let (base, around) = match &file {
        Some(file) => (file.check::<N>()?, file.plan::<N>()?),
        None => (checked(default_policy(&recording.names), &words.rest)?, None),
    };
    let with_box = around.as_ref().map(|plan| with_box(words, recording, plan));
    let words = with_box.as_ref().unwrap_or(words);
    let pace = Pace::of(&words.rest, recording, LEAST_FRAMES)?;
    let sweep =
        words.sweep.as_deref().map(|path| sweep_of(path, words, recording, &pace, file.as_ref())).transpose()?;

    let frozen = match (&words.student_flown, &words.student_rest) {
        (Some(flown), Some(rest)) => Some(Frozen { flown: Stillness::read(flown)?, rest: Stillness::read(rest)? }),
        _ => None,
    };
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

    let tuning = study(words, recording, pace, sweep.as_ref(), base.policy());
    if words.policy.is_none() {
        check_springs(words, &tuning)?;
    }
    let mut tuned = Tuned::of(base.policy(), &tuning);
    if let (Some(tuned), Some(limit)) = (&mut tuned, frozen.and_then(|frozen| frozen.recommended())) {
        tuned.policy.frozen_after = Some(limit);
    }
    let verdict = if tuned.is_some() { Verdict::Sound } else { Verdict::Unsound };
    let mut written = vec![drawn(picture, &tuning)?];
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

    let (policy, tuned, swept) = (base.policy(), tuned.as_ref(), sweep.is_some());
    let report = Report { tuning: &tuning, policy, tuned, swept, frozen };
    report.print(&places, &words.write).map_err(|why| Fault::stdout(&why))?;
    Ok(verdict)
}

fn drawn(picture: Output, tuning: &Tuning) -> Result<Output, Fault> {
    picture::tune::draw(picture.path_for_now(), tuning).map_err(|why| picture.fault(io_error(why)))?;
    Ok(picture)
}
