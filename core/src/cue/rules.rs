//! What the user decides about cues: the rhythm of each cue, what plays it, its phrase, and how often it is repeated.

use crate::quantity::Duration;

use super::{Cue, Rhythm};

/// The rules of all cues. Plain data: assign the fields that differ from the defaults, then [`check`](Self::check).
///
/// ```
/// use handback::Duration;
/// use handback::cue::{Cue, CueRule, CueRules};
/// let mut rules = CueRules::new();
/// rules.nobody.every = Duration::from_secs(5); // again and again
/// rules.offer = CueRule::of(Cue::Offer.rhythm()); // off by default
/// assert!(rules.check().is_ok());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
#[non_exhaustive]
pub struct CueRules {
    /// The instructor asked for the craft.
    pub taken: CueRule,
    /// The instructor has the craft because a signal failed.
    pub lost: CueRule,
    /// Nobody has the craft.
    pub nobody: CueRule,
    /// The student has every shared axis.
    pub handed_back: CueRule,
    /// The student has some of the shared axes.
    pub both: CueRule,
    /// The craft is about to be handed back. Off by default, since the default dwell is shorter than its rhythm.
    pub offer: CueRule,
    /// The silence after a cue, so that two cues are not heard as one; at least a third longer than any silence that a
    /// lost pulse leaves within a cue, and at most 10 s. Default 1.05 s.
    pub rest: Duration,
}

/// The rule of one cue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
#[non_exhaustive]
pub struct CueRule {
    /// The rhythm of lamp, beeper and vibration motor.
    pub rhythm: Rhythm,
    /// Whether the lamp plays it.
    pub lamp: bool,
    /// Whether the beeper plays it.
    pub beeper: bool,
    /// Whether the vibration motor plays it.
    pub vibration: bool,
    /// The phrase of a voice module; `None`: no phrase.
    pub phrase: Option<Phrase>,
    /// The time from the beginning of a cue to its repeat, while the state that the cue announces lasts. 0, the
    /// default: no repeats.
    ///
    /// [`Taken`](Cue::Taken) is repeated while the craft is latched (H2), [`Lost`](Cue::Lost) while a signal is lost
    /// and the lesson switch is not seen off, [`Offer`](Cue::Offer) never, the others until the next change.
    pub every: Duration,
}

/// A phrase of a voice module.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct Phrase {
    /// The number of the phrase in the module.
    pub slot: u8,
    /// How long the phrase lasts, up to 5 s. The cue is not over before the phrase is.
    pub lasts: Duration,
}

impl CueRules {
    /// The rhythms of this project on lamp, beeper and vibration motor: no phrases, no offer, no repeats.
    pub const fn new() -> Self {
        Self {
            taken: CueRule::of(Cue::Taken.rhythm()),
            lost: CueRule::of(Cue::Lost.rhythm()),
            nobody: CueRule::of(Cue::Nobody.rhythm()),
            handed_back: CueRule::of(Cue::HandedBack.rhythm()),
            both: CueRule::of(Cue::Both.rhythm()),
            offer: CueRule { lamp: false, beeper: false, vibration: false, ..CueRule::of(Cue::Offer.rhythm()) },
            rest: Duration::from_ticks(1_050_000),
        }
    }

    /// Adds a phrase to every cue. The slots follow each other from `first` on, in the order of [`Cue::ALL`]. `lasts`
    /// is the length of the longest phrase.
    ///
    /// ```
    /// use handback::Duration;
    /// use handback::cue::CueRules;
    /// let rules = CueRules::new().spoken(10, Duration::from_millis(1_500));
    /// assert_eq!(rules.handed_back.phrase.map(|phrase| phrase.slot), Some(13));
    /// ```
    #[must_use]
    pub const fn spoken(mut self, first: u8, lasts: Duration) -> Self {
        self.taken = self.taken.spoken(first, Cue::Taken, lasts);
        self.lost = self.lost.spoken(first, Cue::Lost, lasts);
        self.nobody = self.nobody.spoken(first, Cue::Nobody, lasts);
        self.handed_back = self.handed_back.spoken(first, Cue::HandedBack, lasts);
        self.both = self.both.spoken(first, Cue::Both, lasts);
        self.offer = self.offer.spoken(first, Cue::Offer, lasts);
        self
    }

    /// The rule of a cue.
    pub const fn rule(&self, cue: Cue) -> &CueRule {
        match cue {
            Cue::Taken => &self.taken,
            Cue::Lost => &self.lost,
            Cue::Nobody => &self.nobody,
            Cue::HandedBack => &self.handed_back,
            Cue::Both => &self.both,
            Cue::Offer => &self.offer,
        }
    }
}

impl Default for CueRules {
    fn default() -> Self {
        Self::new()
    }
}

impl CueRule {
    /// A rule with this rhythm on lamp, beeper and vibration motor, without a phrase and without repeats.
    pub const fn of(rhythm: Rhythm) -> Self {
        let every = Duration::from_ticks(0);
        Self { rhythm, lamp: true, beeper: true, vibration: true, phrase: None, every }
    }

    const fn spoken(mut self, first: u8, cue: Cue, lasts: Duration) -> Self {
        // Past slot 255 phrases coincide. The check refuses that if one cue takes the craft and the other does not.
        self.phrase = Some(Phrase { slot: first.saturating_add(cue.index()), lasts });
        self
    }

    /// Whether the cue is neither played nor said.
    pub const fn is_mute(&self) -> bool {
        let played = (self.lamp || self.beeper || self.vibration) && self.rhythm.pulses() > 0;
        !played && self.phrase.is_none()
    }

    /// How long the cue lasts: the rhythm or the phrase, whichever is longer.
    pub(super) const fn lasts(&self) -> Duration {
        let rhythm = self.rhythm.lasts().saturating_mul(1_000);
        match self.phrase {
            Some(phrase) if phrase.lasts.as_ticks() > rhythm => phrase.lasts,
            _ => Duration::from_ticks(rhythm),
        }
    }
}
