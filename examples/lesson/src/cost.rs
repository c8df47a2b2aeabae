//! What a delay costs the model, in metres: the question, the model of a fall, and the table of answers.

pub(crate) mod delay;
pub(crate) mod fall;
pub(crate) mod page;

use delay::{Delay, Reaction};
use fall::Lift;

/// Before anybody takes a figure from here to the field, besides the caution of all commands.
pub(crate) const NO_PROMISE: &str =
    "A model of a fall, no promise. The recovery is not in it: keep far more height than this.";

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
}
