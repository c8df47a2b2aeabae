//! The error of refused cues: the cue, the field, the value and the accepted values.

use core::fmt;

use crate::message::Message;
use crate::quantity::Duration;

use super::Cue;
use super::check::{LONGEST_PHRASE, LONGEST_PULSE, SHORTEST_PULSE};

/// The first fault of the rules of cues.
///
/// `Display` and [`message`](Self::message) name the cue, the field, the value and the accepted values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub enum CueError {
    /// A pulse or gap is too short or too long.
    Length {
        /// The cue.
        cue: Cue,
        /// The place of the length in the rhythm, from 0.
        place: u8,
        /// The length, in milliseconds.
        ms: u16,
    },
    /// The rhythm ends in a gap.
    EndsInGap {
        /// The cue.
        cue: Cue,
    },
    /// The rhythm has a single pulse: if it is lost, nothing is heard.
    SinglePulse {
        /// The cue.
        cue: Cue,
    },
    /// A cue that takes the craft is neither played nor said.
    Mute {
        /// The cue.
        cue: Cue,
    },
    /// A cue that takes the craft could be heard as one that does not. Its first pulse, and at least one other, must be
    /// a third longer than every pulse of the cues that do not.
    NotLong {
        /// The cue.
        cue: Cue,
    },
    /// Two rhythms can sound alike if each has lost at most one pulse or one gap.
    Alike {
        /// The first cue.
        cue: Cue,
        /// The cue that it can be mistaken for.
        other: Cue,
    },
    /// A cue that takes the craft says the phrase of one that does not.
    SamePhrase {
        /// The cue that takes the craft.
        cue: Cue,
        /// The cue that does not.
        other: Cue,
        /// The slot of both phrases.
        slot: u8,
    },
    /// The phrase is too long.
    Phrase {
        /// The cue.
        cue: Cue,
        /// How long the phrase lasts.
        lasts: Duration,
    },
    /// The rest could be mistaken for a silence within a cue, or is longer than 10 s.
    Rest {
        /// The rest.
        rest: Duration,
        /// The shortest accepted rest.
        needed: Duration,
    },
    /// `every` is shorter than the cue and the rest after it, or longer than half the range of the clock.
    Every {
        /// The cue.
        cue: Cue,
        /// Its `every`.
        every: Duration,
        /// The shortest accepted `every`, apart from 0.
        needed: Duration,
    },
}

impl CueError {
    /// The cue that is wrong; `None` if the rest is wrong.
    ///
    /// ```
    /// use handback::cue::{Cue, CueError};
    /// assert_eq!(CueError::SinglePulse { cue: Cue::Both }.cue(), Some(Cue::Both));
    /// ```
    pub const fn cue(&self) -> Option<Cue> {
        match *self {
            Self::Length { cue, .. }
            | Self::EndsInGap { cue }
            | Self::SinglePulse { cue }
            | Self::Mute { cue }
            | Self::NotLong { cue }
            | Self::Alike { cue, .. }
            | Self::SamePhrase { cue, .. }
            | Self::Phrase { cue, .. }
            | Self::Every { cue, .. } => Some(cue),
            Self::Rest { .. } => None,
        }
    }

    /// The field that is wrong.
    ///
    /// ```
    /// use handback::cue::{Cue, CueError};
    /// assert_eq!(CueError::SinglePulse { cue: Cue::Both }.field(), "rhythm");
    /// ```
    pub const fn field(&self) -> &'static str {
        match self {
            Self::Length { .. }
            | Self::EndsInGap { .. }
            | Self::SinglePulse { .. }
            | Self::Mute { .. }
            | Self::NotLong { .. }
            | Self::Alike { .. } => "rhythm",
            Self::SamePhrase { .. } | Self::Phrase { .. } => "phrase",
            Self::Rest { .. } => "rest",
            Self::Every { .. } => "every",
        }
    }

    /// The error in words: cue, field, value and accepted values. For cues in a `const`, the compiler prints it.
    ///
    /// ```
    /// use handback::cue::{CueRule, CueRules, Rhythm};
    /// let mut rules = CueRules::new();
    /// rules.both = CueRule::of(Rhythm::of([100, 100, 100])); // the rhythm of `handed_back`
    /// assert_eq!(
    ///     rules.check().unwrap_err().message().as_str(),
    ///     "handed_back: rhythm can be mistaken for that of both: one must have other pulses"
    /// );
    /// ```
    pub const fn message(&self) -> Message {
        let start = match self.cue() {
            Some(cue) => Message::new().text(cue.name()).text(": "),
            None => Message::new(),
        };
        let field = start.text(self.field());
        match *self {
            Self::Length { place, ms, .. } => {
                let is = field.text(" has ").number(ms as u32).text(" ms at place ").number(place as u32);
                let from = is.text(": each pulse and gap must be ").number(SHORTEST_PULSE as u32);
                from.text(" to ").number(LONGEST_PULSE as u32).text(" ms long")
            }
            Self::EndsInGap { .. } => field.text(" ends in a gap: it must end in a pulse"),
            Self::SinglePulse { .. } => field.text(" has 1 pulse: it must have 2 or more, or none"),
            Self::Mute { .. } => field.text(" is played by nothing, and nothing is said: one of them must be"),
            Self::NotLong { .. } => {
                let must = field.text(" must begin with a pulse, and have a second one, a third longer than any of ");
                must.text("handed_back, both and offer")
            }
            Self::Alike { other, .. } => {
                let like = field.text(" can be mistaken for that of ").text(other.name());
                like.text(": one must have other pulses")
            }
            Self::SamePhrase { other, slot, .. } => {
                let like = field.text(" is in slot ").number(slot as u32).text(", as that of ").text(other.name());
                like.text(" is: they must differ")
            }
            Self::Phrase { lasts, .. } => {
                let lasts = field.text(" lasts ").number(lasts.as_ticks()).text(" us: it must last at most ");
                lasts.number(LONGEST_PHRASE).text(" us")
            }
            Self::Rest { rest, needed } => {
                let is = field.text(" is ").number(rest.as_ticks()).text(" us: it must be ");
                is.number(needed.as_ticks()).text(" us to 10000000 us")
            }
            Self::Every { every, needed, .. } => {
                let is = field.text(" is ").number(every.as_ticks()).text(" us: it must be 0, or ");
                is.number(needed.as_ticks()).text(" us to 2147483648 us")
            }
        }
    }
}

crate::message::displayed!(CueError);
