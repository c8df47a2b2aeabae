//! The command `cost`: what a delay costs the model, in metres, as a table and a picture.

pub(crate) mod delay;
pub(crate) mod fall;
pub(crate) mod page;
mod words;

use std::io::{self, Write};
use std::path::Path;

use crate::caution::CAUTION;
use crate::error::Fault;
use crate::for_axes;
use crate::output::Outputs;
use crate::picture::cost as picture;
use crate::policy::PolicyFile;
use delay::{Delay, Reaction};
use fall::Lift;
pub(crate) use words::CostWords;

/// Before anybody takes a figure from here to the field, besides the caution of all commands.
pub(crate) const NO_PROMISE: &str =
    "A model of a fall, no promise. The recovery is not in it: keep far more height than this.";

/// No longer delay is worth a figure.
const LONGEST_S: f64 = 60.0;

/// What is asked: delays on the one hand, flights on the other, each list sorted and without repeats.
pub(crate) struct Question {
    pub(crate) delay: Delay,
    /// Whose reaction it is, where it is none of the user's own.
    pub(crate) reaction: Option<Reaction>,
    /// Metres a second.
    pub(crate) speeds: Vec<f64>,
    /// Degrees.
    pub(crate) dives: Vec<f64>,
    /// Degrees.
    pub(crate) banks: Vec<f64>,
}

/// What a delay comes to, in metres, at worst.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Cost {
    /// Were there no electronics.
    pub(crate) human: f64,
    pub(crate) whole: f64,
    /// What one more frame of confirm would add to it.
    pub(crate) one_more_frame: f64,
}

impl Cost {
    /// `metres` is what is lost after so many seconds.
    pub(crate) fn of(delay: &Delay, metres: impl Fn(f64) -> f64) -> Self {
        let worst_s = delay.whole().worst_s;
        let whole = metres(worst_s);
        Self { human: metres(delay.reaction_s), whole, one_more_frame: metres(worst_s + delay.frame_s) - whole }
    }

    /// What the electronics add to what the human costs.
    pub(crate) fn electronics(&self) -> f64 {
        self.whole - self.human
    }
}

impl Question {
    /// Every bank, and no lift at all.
    pub(crate) fn lifts(&self) -> impl Iterator<Item = Lift> + '_ {
        self.banks.iter().copied().map(Lift::Banked).chain([Lift::None])
    }

    fn of(words: &CostWords) -> Result<Self, Fault> {
        let confirm = match &words.policy {
            Some(path) => {
                let file = PolicyFile::read(path)?;
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
            let mend = format!("keep it to {LONGEST_S} s: nothing flies on as it did for longer");
            return Err(Fault::new(options, format!("the delay comes to {whole_s:.1} s"), mend));
        }
        Ok(Self {
            delay,
            reaction: words.reaction_ms.is_none().then_some(words.reaction),
            speeds: listed("--speed-m-per-s", &words.speed_m_per_s, 6)?,
            dives: listed("--dive-deg", &words.dive_deg, 4)?,
            banks: listed("--bank-deg", &words.bank_deg, 5)?,
        })
    }
}

/// Prints the table and draws the picture.
pub(crate) fn cost(words: &CostWords) -> Result<(), Fault> {
    let question = Question::of(words)?;
    let inputs: Vec<&Path> = words.policy.as_deref().into_iter().collect();
    let picture = Outputs::beside(&inputs).create(&words.picture)?;
    let svg = picture::svg(&question).map_err(|why| picture.fault(io::Error::other(why.to_string())))?;
    let mut picture = picture.whole(&svg)?;
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
