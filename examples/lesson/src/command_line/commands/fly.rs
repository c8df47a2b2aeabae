//! The command `fly`: a simulated lesson, closed loop, and the same rows with a plain threshold.

use std::path::Path;

use handback::{CheckedPolicy, Policy};

use crate::command_line::cli::Fly;
use crate::command_line::finish::{Verdict, finish};
use crate::command_line::output::Outputs;
use crate::command_line::progress::Progress;
use crate::compared::Told;
use crate::decisions::DecisionsWriter;
use crate::error::Fault;
use crate::lane::Lane;
use crate::plain::plain;
use crate::policy::TomlPolicy;
use crate::scenario::{AXES, AXIS_NAMES, Scenario};
use crate::trace::TraceWriter;

/// A lesson of fewer steps is over before a bar means anything.
const LONG: u64 = 500_000;

pub(crate) fn fly(words: &Fly) -> Result<Verdict, Fault> {
    let names = AXIS_NAMES.map(str::to_owned);
    let mut outputs = Outputs::beside(&[]);
    let picture = outputs.create(&words.picture)?;
    let record = words.record.as_deref().map(|path| TraceWriter::new(outputs.create(path)?, &names));
    let mut record = record.transpose()?;
    let record_policy = words.record_policy.as_deref().map(|path| outputs.create_policy(path, words.overwrite));
    let record_policy = record_policy.transpose()?;
    let decisions = words.decisions.as_deref().map(|path| DecisionsWriter::new(outputs.create(path)?, &names));
    let mut decisions = decisions.transpose()?;

    let policy = checked(Scenario::shipped_policy(words.seed))?;
    let record_policy = record_policy
        .map(|out| out.whole_policy(&TomlPolicy { policy: policy.policy(), names: &names, around: None }))
        .transpose()?;
    let compared = checked(plain(*policy.policy()))?;
    let title = format!("A simulated lesson: {} minutes, seed {}", words.minutes, words.seed);
    let mut shipped = Lane::with_reference(&policy, &names).titled(title);
    let mut threshold = Lane::new(&compared, &names);

    let mut scenario = Scenario::new(words.seed, words.minutes);
    let progress = Progress::new(scenario.steps(), LONG);
    let mut last = None;
    let mut steps = 0;
    while let Some((row, truth)) = scenario.next(last.as_ref()) {
        let outcome = shipped.step(&row, Some(&truth));
        threshold.step(&row, Some(&truth));
        if let Some(record) = &mut record {
            record.write(&row)?;
        }
        if let Some(decisions) = &mut decisions {
            decisions.write(row.time_us, &outcome)?;
        }
        last = Some(outcome);
        steps += 1;
        progress.reached(steps);
    }
    drop(progress);

    let record = record.map(TraceWriter::into_output);
    let decisions = decisions.map(DecisionsWriter::into_output);
    let tables = record.into_iter().chain(record_policy).chain(decisions);
    let mut tally = shipped.into_tally();
    tally.set_title(format!("Simulated lesson, seed {}", words.seed));
    finish(&tally, &threshold.into_tally(), picture, tables, &Told::default())
}

fn checked(policy: Policy<AXES>) -> Result<CheckedPolicy<AXES>, Fault> {
    policy.check().map_err(|why| Fault::told(Path::new("the simulated lesson's policy"), why.to_string()))
}

#[cfg(test)]
mod tests {
    use handback::Engine;

    use super::*;
    use crate::command_line::open;

    /// Given a lesson that was recorded while it was flown, when the trace is read and flown again, then every outcome
    /// is the same.
    #[test]
    fn a_recorded_lesson_is_decided_as_it_was_flown() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("trace.csv");
        let policy = checked(Scenario::shipped_policy(5)).unwrap();
        let mut recorder =
            TraceWriter::new(Outputs::beside(&[]).create(&path).unwrap(), &AXIS_NAMES.map(str::to_owned)).unwrap();
        let (mut engine, mut scenario, mut flown) = (Engine::new(&policy), Scenario::new(5, 2.0), Vec::new());
        while let Some((row, _)) = scenario.next(flown.last()) {
            recorder.write(&row).unwrap();
            flown.push(engine.step(row.now(), row.inputs()));
        }
        recorder.into_output().commit().unwrap();
        assert!(flown.iter().any(|outcome| outcome.event.is_some()));

        let (mut engine, mut reader) = (Engine::new(&policy), open::trace(&path).unwrap());
        for outcome in &flown {
            let row = reader.next_row().unwrap().expect("a row for every step");
            assert_eq!(engine.step(row.now(), row.inputs()), *outcome);
        }
        assert_eq!(reader.next_row::<AXES>().unwrap(), None);
    }
}
