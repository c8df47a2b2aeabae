//! The sequence as data: what the pilot is asked to do, step by step.

/// What the pilot is asked to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Prompt {
    /// Touch no stick: centre and noise are measured. A stick without a spring is parked half way first.
    HandsOff,
    /// Hold every stick up and to the right: one end and the direction are measured.
    TopRight,
    /// Let go from there: it is measured how far from its centre a sprung stick comes to rest, and how far it
    /// overshoots.
    LetGo,
    /// Hold every stick down and to the left: the other end is measured.
    BottomLeft,
    /// Sweep every stick from end to end and back, without a pause in the middle: the time near its centre is measured.
    Stir,
    /// The sequence is done.
    Done,
}

/// The sequence. The ends come before the sweeps, since a sweep is measured between two places of the travel.
pub const SEQUENCE: [Prompt; 6] =
    [Prompt::HandsOff, Prompt::TopRight, Prompt::LetGo, Prompt::BottomLeft, Prompt::LetGo, Prompt::Stir];

impl Prompt {
    /// What to say to the pilot.
    pub const fn wording(self) -> &'static str {
        match self {
            Self::HandsOff => "Throttle half way; then hands off all sticks.",
            Self::TopRight => "Hold all sticks up and right.",
            Self::LetGo => "Let all sticks go at once.",
            Self::BottomLeft => "Hold all sticks down and left.",
            Self::Stir => "Sweep all sticks from end to end, again and again.",
            Self::Done => "Done.",
        }
    }
}
