//! The command `learn`: both transmitters of a box, from its raw trace to a box file.
//!
//! The trace says level and number of channels of each train. One stick after another is moved alone, which says its
//! channel. The guide of the library (`handback::calibrate`) then learns direction, ends, centres and noise, and
//! recommends thresholds. Whatever goes wrong, nothing is written.

mod ears;
mod plan;

use std::io::{self, Write};

use handback::calibrate::{Calibration, Learnt, Prompt};
use handback::{AxisSet, Micros, Pulse};

use self::ears::{Ears, Who};
use self::plan::{Transmitter, plan_of};
use crate::caution::CAUTION;
use crate::command_line::cli::LearnWords;
use crate::command_line::finish::Verdict;
use crate::command_line::link::AXES;
use crate::command_line::output::Outputs;
use crate::command_line::port::Port;
use crate::error::Fault;
use crate::policy::TomlPolicy;

/// The axes of a box, in their order; all but the throttle have a spring.
const NAMES: [&str; AXES] = ["aileron", "elevator", "throttle", "rudder"];
const SPRUNG: AxisSet = AxisSet::of(&[0, 1, 3]);
/// Where each stick goes while it is moved alone.
const WAYS: [&str; AXES] = ["right", "up", "up", "right"];

/// The rest of the instructor's sticks carries the thresholds: two minutes at 50 frames a second.
const REST_FRAMES: [u32; 2] = [6_000, 500];

/// Frames over which the place of every channel is learnt before a stick moves.
const BEFORE: usize = 25;
/// Frames for which a moved stick is held.
const HELD: usize = 15;
/// A channel this far from its place was moved; another one this far was moved too. In sixteenths of a microsecond.
const MOVED: u16 = 200 * 16;
const STIRRED: u16 = 60 * 16;
/// Frames after which a step that nobody follows ends the command: two minutes at 50 frames a second.
const PATIENCE: usize = 6_000;

pub(crate) fn learn(words: &LearnWords) -> Result<Verdict, Fault> {
    let mut outputs = Outputs::beside(&[&words.port]);
    let output = outputs.create_policy(&words.file, words.overwrite)?;
    let mut ears = Ears::new(Port::open(&words.port)?)?;
    say(&CAUTION.join("\n"))?;
    say("Receiver of the craft without power. Switch both transmitters on; all sticks in the middle.")?;
    ears.find_trains()?;
    let mut learnt = Vec::new();
    for who in [Who::Instructor, Who::Student] {
        let train = ears.train(who)?;
        say(&format!("{}: {} channels, separators {}", who.name(), train.channels, train.word()))?;
        let numbers = numbers(&mut ears, who)?;
        let sticks = sticks(&mut ears, who, numbers)?;
        learnt.push(Transmitter { train, numbers, sticks });
    }
    let [instructor, student] = learnt.try_into().unwrap_or_else(|_| unreachable!("two sides"));
    let plan = plan_of(&NAMES, SPRUNG, &instructor, &student, ears.frame_length(Who::Instructor))
        .map_err(|why| Fault::told(&words.port, why))?;
    let names = NAMES.map(str::to_owned);
    let text = TomlPolicy { policy: &plan.policy, names: &names, around: Some(&plan) };
    let mut output = output.whole_policy(&text)?;
    output.complete()?;
    output.commit()?;
    for ((name, rule), (one, other)) in
        NAMES.iter().zip(&plan.policy.axes).zip(instructor.numbers.iter().zip(student.numbers))
    {
        say(&format!("  {name}: channel {one} of the instructor, {other} of the student; engage {}", rule.engage))?;
    }
    say(&format!(
        "Written: {}. Next: `lesson box write`, then the preflight check; propellers off.",
        words.file.display()
    ))?;
    Ok(Verdict::Sound)
}

/// The channel of each stick, by moving one after another.
fn numbers(ears: &mut Ears, who: Who) -> Result<[u8; AXES], Fault> {
    let mut numbers = [0; AXES];
    for axis in 0..AXES {
        let [name, way] = [NAMES[axis], WAYS[axis]];
        // Before the stick is asked for: a quick hand would move it meanwhile.
        let place = ears.place(who, BEFORE)?;
        say(&format!("{}: hold the {name} stick {way}, that stick alone.", who.name()))?;
        let mut held = 0;
        for _ in 0..PATIENCE {
            let train = ears.frame(who)?;
            let off = |channel: usize| train[channel].to_bits().abs_diff(place[channel].to_bits());
            let moved = (0..place.len()).max_by_key(|&channel| off(channel)).filter(|&channel| off(channel) >= MOVED);
            held = if moved.is_some() { held + 1 } else { 0 };
            let Some(channel) = moved.filter(|_| held >= HELD) else { continue };
            if let Some(other) = (0..place.len()).find(|&other| other != channel && off(other) >= STIRRED) {
                let found =
                    format!("channels {channel} and {other} moved together while the {name} stick was asked for");
                return Err(
                    ears.fault(found, "begin again: move one stick alone, with all mixes of the transmitter off")
                );
            }
            let number = u8::try_from(channel).unwrap_or(u8::MAX);
            if let Some(before) = numbers[..axis].iter().position(|&taken| taken == number) {
                let found =
                    format!("channel {channel} moved for the {name} stick, and for the {} stick before", NAMES[before]);
                return Err(ears.fault(found, "begin again: move the stick that is asked for"));
            }
            numbers[axis] = number;
            say(&format!("  channel {channel}. Back to the middle."))?;
            ears.await_back(who, channel, place[channel], STIRRED, PATIENCE)?;
            held = usize::MAX;
            break;
        }
        if held != usize::MAX {
            let found = format!("no channel of the {} moved for the {name} stick", who.name());
            return Err(ears.fault(found, "begin again: hold the stick at its end"));
        }
    }
    Ok(numbers)
}

/// Goes through the guide with these channels.
fn sticks(ears: &mut Ears, who: Who, numbers: [u8; AXES]) -> Result<Learnt<Micros, AXES>, Fault> {
    let mut guide = Calibration::new(SPRUNG, REST_FRAMES[who.index()]);
    let (mut since, limit) = (0, PATIENCE + REST_FRAMES[who.index()] as usize);
    say(&format!("{}: {}", who.name(), guide.step().wording()))?;
    loop {
        let train = ears.frame(who)?;
        let before = guide.step();
        let readings: [Pulse; AXES] = numbers.map(|number| train[usize::from(number)]);
        let progress = guide.take(&readings);
        since += 1;
        if progress.step != before {
            say(&format!("{}: {}", who.name(), progress.step.wording()))?;
            since = 0;
        }
        if progress.step == Prompt::Done
            && let Some(learnt) = guide.learnt()
        {
            return Ok(learnt);
        }
        if since > limit {
            let missing = progress.missing.iter().filter_map(|axis| NAMES.get(usize::from(axis)).copied());
            let missing = missing.collect::<Vec<_>>().join(", ");
            let found = format!("{}: \"{}\" is not done: {missing}", who.name(), progress.step.wording());
            return Err(ears.fault(found, "begin again"));
        }
    }
}

fn say(text: &str) -> Result<(), Fault> {
    let mut out = io::stdout().lock();
    writeln!(out, "{text}").and_then(|()| out.flush()).map_err(|why| Fault::stdout(&why))
}
