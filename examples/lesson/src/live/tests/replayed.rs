//! What was saved, replayed by the path of the command `replay`.

use std::path::Path;

use super::super::*;
use super::live;
use super::people::Restless;
use crate::compared::Compared;
use crate::input::Input as Bytes;
use crate::lane::Lane;
use crate::live::beside::points;
use crate::policy::PolicyFile;
use crate::trace::{Steps, TraceReader};

const ALL: [Craft; 3] = [Craft::Aeroplane, Craft::Helicopter, Craft::Many];

/// Flies a restless lesson of so many frames, and changes a value on the way; the states of the recording that it ends
/// with.
fn fly(live: &mut Live, seed: u64, frames: u32) -> Vec<State> {
    let mut person = Restless::new(live, seed);
    let mut states = Vec::new();
    for frame in 0..frames {
        if frame == frames / 3 {
            live.set("dwell_ms", None, "140").unwrap();
            let axis = live.axes()[1].name.clone();
            live.set("confirm", Some(&axis), "2").unwrap();
            states.clear();
        }
        states.push(live.step(person.next()).unwrap());
    }
    states
}

/// Replays what was saved, and holds every step against the states of the lesson.
fn replay<const N: usize>(saved: &Saved, states: &[State]) -> Compared {
    let trace = TraceReader::read(Bytes::of_bytes("trace.csv", saved.trace.clone().into_bytes())).unwrap();
    let names = trace.names().unwrap().to_vec();
    let file = PolicyFile::parse(Path::new("policy.toml"), saved.policy.clone()).unwrap();
    let policy = file.arranged(Path::new("trace.csv"), &names).unwrap().check::<N>().unwrap();
    let (mut steps, mut lane) = (Steps::<N>::new(trace, None).unwrap(), Lane::with_reference(&policy, &names));
    let (mut compared, mut flown) = (Compared::with(steps.recorder()), states.iter());
    while let Some(read) = steps.next().unwrap() {
        let outcome = lane.step(&read.row, None);
        compared.step(&read.said, read.row.time_us, &outcome);
        let state = flown.next().expect("a state for every row");
        assert_eq!(outcome.output.axes().map(points).as_slice(), state.sticks.output);
        assert_eq!(crate::decisions::pilot_word(outcome.pilot), state.flies);
        assert_eq!(outcome.event.is_some(), !state.events.is_empty());
    }
    assert!(flown.next().is_none(), "a row for every state");
    compared
}

/// Given restless lessons of every craft with noise, cuts, frozen links and changed settings, when what was saved is
/// replayed, then every outcome and the check value are those of the lesson.
#[test]
fn a_saved_lesson_replays_to_every_outcome_and_check_value() {
    for (craft, student) in ALL.into_iter().flat_map(|craft| [(craft, Student::Beginner), (craft, Student::Person)]) {
        for seed in 1..=3 {
            let mut live = live(craft, seed, student);
            let states = fly(&mut live, seed, 3000);
            let saved = live.save().unwrap();
            assert!(states.iter().all(|state| state.agrees) && saved.steps == 2000, "{craft:?} {seed}");
            let changes = states.iter().filter(|state| !state.events.is_empty()).count();
            assert!(changes >= 4, "{craft:?}, seed {seed}: only {changes} changes");
            let compared = match craft {
                Craft::Many => replay::<16>(&saved, &states),
                Craft::Aeroplane | Craft::Helicopter => replay::<4>(&saved, &states),
            };
            let told = compared.told();
            assert_eq!(told.lines, ["Check: this replay took the same 2,000 decisions as the page"]);
            assert!(told.differs_us.is_none() && saved.trace.trim_end().ends_with(&format!(",{:08x}", saved.check)));
        }
    }
}

/// Given a saved lesson with one row changed, when it is replayed, then the check value tells.
#[test]
fn a_changed_row_no_longer_has_its_check_value() {
    let mut live = live(Craft::Helicopter, 1, Student::Beginner);
    let states = fly(&mut live, 1, 300);
    let mut saved = live.save().unwrap();
    assert_eq!(replay::<4>(&saved, &states).told().lines.len(), 1);
    saved.policy = saved.policy.replace("plausible_points = 150", "plausible_points = 151");
    assert!(replay::<4>(&saved, &states).told().differs_us.is_none(), "nothing goes so far");
    let (first, rest) = saved.trace.split_once('\n').unwrap();
    let (time, row) = rest.split_once(',').unwrap();
    let time_us: u64 = time.parse().unwrap();
    saved.trace = format!("{first}\n{},{row}", time_us - 1);
    assert!(replay::<4>(&saved, &states).told().differs_us.is_some());
}

/// The check values were measured: a change of a craft, of a beginner or of a decision renews them. No machine may give
/// others.
#[test]
fn a_seed_is_the_same_lesson_to_the_bit_on_every_machine() {
    let checks = ALL.map(|craft| {
        let mut live = live(craft, 7, Student::Beginner);
        fly(&mut live, 7, 3000);
        live.save().unwrap().check
    });
    assert_eq!(checks, [125_227_713, 3_085_724_147, 1_722_609_568]);
}

#[test]
fn a_recording_without_a_step_is_not_saved() {
    let message = live(Craft::Helicopter, 1, Student::Beginner).save().unwrap_err().to_string();
    assert_eq!(message, "the recording: has no step yet; fly a frame first");
}
