//! The command `learn`: both transmitters of a box, from its raw trace to a box file.
//!
//! The trace says level and number of channels of each train. The crate `trainer-box-learn` asks for the sticks and
//! makes a plan; here its steps are told in words. Whatever goes wrong, nothing is written.

mod ears;
mod words;

use std::io::{self, Write};
use std::path::Path;

use trainer_box::Side;
use trainer_box_learn::{Ask, End, Learning};

use self::ears::Ears;
use crate::caution::CAUTION;
use crate::command_line::cli::LearnWords;
use crate::command_line::finish::Verdict;
use crate::command_line::link::AXES;
use crate::command_line::output::Outputs;
use crate::command_line::port::Port;
use crate::error::Fault;
use crate::policy::{BoxPlan, PolicyFile, TomlPolicy, default_box};

pub(crate) fn learn(words: &LearnWords) -> Result<Verdict, Fault> {
    let mut outputs = Outputs::beside(&[&words.port]);
    let output = outputs.create_policy(&words.file, words.overwrite)?;
    let mut ears = Ears::new(Port::open(&words.port)?)?;
    let Some(default) = PolicyFile::parse(Path::new("the default box"), default_box())?.plan::<AXES>()? else {
        unreachable!("the default box is a box")
    };
    say(&CAUTION.join("\n"))?;
    say("Receiver of the craft without power. Switch both transmitters on; all sticks in the middle.")?;
    ears.find_trains()?;
    let plan = sequence(&mut ears, &default)?;
    let names = plan.names.map(|name| name.as_str().to_owned());
    let text = TomlPolicy { policy: &plan.policy, names: &names, around: Some(&plan) };
    let mut output = output.whole_policy(&text)?;
    output.complete()?;
    output.commit()?;
    for (axis, (name, rule)) in names.iter().zip(&plan.policy.axes).enumerate() {
        let [one, other] = [plan.instructor.axes[axis], plan.student.axes[axis]].map(|it| it.map_or(0, |it| it.number));
        say(&format!("  {name}: channel {one} of the instructor, {other} of the student; engage {}", rule.engage))?;
    }
    say(&format!(
        "Written: {}. Next: `lesson box write`, then the preflight check; propellers off.",
        words.file.display()
    ))?;
    Ok(Verdict::Sound)
}

/// Goes through the sequence, frame by frame.
fn sequence(ears: &mut Ears, default: &BoxPlan<AXES>) -> Result<BoxPlan<AXES>, Fault> {
    let names = default.names.each_ref().map(trainer_box::AxisName::as_str);
    let mut learning = Learning::new(*default);
    let mut told = None;
    loop {
        let (now, trains) = ears.row()?;
        for (side, train) in [Side::Instructor, Side::Student].into_iter().zip(trains) {
            let Some(train) = train else { continue };
            let format = ears.format(side)?;
            let step = learning.take(now, side, format, &train);
            if let Some(wrong) = step.wrong {
                say(&format!("  {}", words::wrong(wrong, &names)))?;
            }
            if let Some(plan) = learning.plan() {
                say(&format!("{}: {}", words::name(Side::Student), handback::calibrate::Prompt::Done.wording()))?;
                return Ok(*plan);
            }
            if let Ask::Ended(why) = step.ask {
                return Err(ended(ears, why, &names));
            }
            if !step.begun {
                continue;
            }
            let of = words::side(step.ask);
            if of != told
                && let Some(side) = of
            {
                let format = ears.format(side)?;
                let separators = words::level(format.separators);
                say(&format!("{}: {} channels, separators {separators}", words::name(side), format.channels))?;
                told = of;
            }
            if let Some(text) = words::ask(step.ask, &names) {
                say(&text)?;
            }
        }
    }
}

/// The fault of a sequence that ended without a plan.
fn ended(ears: &Ears, why: End, names: &[&str; AXES]) -> Fault {
    match why {
        End::Refused(why) => {
            let name = names.get(usize::from(why.axis())).copied().unwrap_or_default();
            let told = why.to_string().replacen(&format!("axis {}", why.axis()), name, 1);
            ears.told(&format!("{told}; nothing was written"))
        }
        End::Plan(why) => ears.told(&format!("{why}; nothing was written")),
        _ => {
            let (found, remedy) = words::end(why, names);
            ears.fault(found, remedy)
        }
    }
}

fn say(text: &str) -> Result<(), Fault> {
    let mut out = io::stdout().lock();
    writeln!(out, "{text}").and_then(|()| out.flush()).map_err(|why| Fault::stdout(&why))
}
