//! The command `cost`: what a delay costs the model, in metres, as a table and a picture.

use std::io::{self, Write};
use std::path::Path;

use crate::caution::CAUTION;
use crate::command_line::cli::CostWords;
use crate::command_line::finish::drawn;
use crate::command_line::open;
use crate::command_line::output::Outputs;
use crate::cost::delay::Delay;
use crate::cost::{NO_PROMISE, Question, page};
use crate::error::Fault;
use crate::for_axes;
use crate::picture;
use crate::policy::PolicyFile;

/// The longest delay in seconds; the model is wrong for longer ones.
const LONGEST_S: f64 = 60.0;

/// Prints the table and draws the picture.
pub(crate) fn cost(words: &CostWords) -> Result<(), Fault> {
    let question = question(words)?;
    let inputs: Vec<&Path> = words.policy.as_deref().into_iter().collect();
    let picture = Outputs::beside(&inputs).create(&words.picture)?;
    let mut picture = drawn(picture, picture::cost::svg(&question))?;
    picture.complete()?;
    picture.commit()?;

    let mut out = io::BufWriter::new(io::stdout().lock());
    let mut print = || -> io::Result<()> {
        page::print(&mut out, &question)?;
        writeln!(out, "\nWritten: {}", words.picture.display())?;
        writeln!(out, "{NO_PROMISE}")?;
        CAUTION.iter().try_for_each(|line| writeln!(out, "{line}"))?;
        out.flush()
    };
    print().map_err(|why| Fault::stdout(&why))
}

fn question(words: &CostWords) -> Result<Question, Fault> {
    let confirm = match &words.policy {
        Some(path) => {
            let file = open::policy(path)?;
            for_axes!(file.names().len(), largest_confirm(&file))?
        }
        None => words.confirm.unwrap_or(1),
    };
    let delay = Delay {
        reaction_s: words.reaction_ms.map_or(words.reaction.seconds(), |ms| ms / 1e3),
        frame_s: words.frame_ms / 1e3,
        confirm,
        link_s: words.link_ms / 1e3,
        output_frame_s: words.output_frame_ms / 1e3,
    };
    let whole_s = delay.whole().worst_s;
    if whole_s > LONGEST_S {
        let options = Path::new("--reaction-ms, --confirm, --frame-ms, --link-ms, --output-frame-ms");
        let remedy = format!("keep it to {LONGEST_S} s: nothing flies on as it did for longer");
        return Err(Fault::new(options, format!("the delay comes to {whole_s:.1} s"), remedy));
    }
    Ok(Question {
        delay,
        reaction: words.reaction_ms.is_none().then_some(words.reaction),
        speeds: listed("--speed-m-per-s", &words.speed_m_per_s, 6)?,
        dives: listed("--dive-deg", &words.dive_deg, 4)?,
        banks: listed("--bank-deg", &words.bank_deg, 5)?,
    })
}

/// What the slowest watched axis of a policy waits for (T1).
fn largest_confirm<const N: usize>(file: &PolicyFile) -> Result<u8, Fault> {
    let checked = file.check::<N>()?;
    let policy = checked.policy();
    let watched = (0_u8..).zip(&policy.axes).filter(|(number, _)| policy.watched.contains(*number));
    Ok(watched.map(|(_, rule)| rule.confirm).max().unwrap_or(1))
}

/// Values of one option, sorted and without repeats; no more than there are columns for.
fn listed(option: &str, values: &[f64], most: usize) -> Result<Vec<f64>, Fault> {
    let mut values = values.to_vec();
    values.sort_by(f64::total_cmp);
    values.dedup();
    if values.len() > most {
        let found = format!("{} different values", values.len());
        return Err(Fault::new(Path::new(option), found, format!("give {most} or fewer at a time")));
    }
    Ok(values)
}
