//! Plays the cues, one at a time and without blocking. Cues that take the craft come first.

use core::borrow::Borrow;

use crate::engine::{Event, Link, Outcome, Pilot, Waiting};
use crate::quantity::Instant;

use super::check::CheckedCueRules;
use super::rules::{CueRule, CueRules};
use super::{Cue, Rhythm};

/// What lamp, beeper, vibration motor and voice module must do now.
///
/// The default is all off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Signs {
    /// Whether the lamp is lit.
    pub lamp: bool,
    /// Whether the beeper sounds.
    pub beeper: bool,
    /// Whether the vibration motor runs.
    pub vibration: bool,
    /// Whether the student flies any axis, for a second, steady lamp. A dark lamp, even a broken one, tells the
    /// instructor to fly, which is the safe mistake.
    pub student_flies: bool,
    /// The cue that begins now, given once: for a log, or for players of another kind.
    pub begun: Option<Cue>,
    /// The order for the voice module, given once.
    pub voice: Option<Voice>,
}

/// An order for a voice module. A phrase that the module is still saying is no longer true.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Voice {
    /// Stop the phrase that is being said, and say the phrase of this slot.
    Say(u8),
    /// Stop the phrase that is being said.
    Stop,
}

/// The player of a lesson's cues: checked rules, borrowed or owned, and the cue that is playing.
///
/// Call [`step`](Self::step) with the outcome of every step. A faster loop can also call [`look`](Self::look) between
/// two steps, for finer rhythms. One of the two must be called at least every [`LOOK_EVERY`](super::LOOK_EVERY). A
/// slower loop stretches the rhythms; it never leaves out a pulse.
#[derive(Clone, Debug)]
pub struct Cues<R = &'static CheckedCueRules> {
    rules: R,
    /// The instant of the last look.
    looked: Option<Instant>,
    playing: Playing,
    /// The cue to play next.
    next: Option<Cue>,
    said: Said,
    /// Whether the present offer has begun, or waits in `next`.
    offered: bool,
    student_flies: bool,
}

/// What is being played. Times are in microseconds and saturate.
#[derive(Clone, Copy, Debug)]
enum Playing {
    Nothing,
    /// A cue at this place of its rhythm, or past the end of the rhythm while the phrase goes on.
    Cue {
        cue: Cue,
        place: u8,
        /// The time since the place was reached.
        there_for: u32,
        /// The time since the cue began.
        on_for: u32,
    },
    /// The silence after a cue.
    Rest {
        after: Cue,
        on_for: u32,
    },
}

/// The cue of the last change, for repeats.
#[derive(Clone, Copy, Debug)]
struct Said {
    /// `None` before the first change, and if the cue of the last change is mute.
    cue: Option<Cue>,
    /// Whether the state that the cue announces lasts, so that the cue may be repeated.
    holds: bool,
    /// The time since the last change or the last beginning of a cue, in microseconds; saturates.
    ago: u32,
}

impl<R: Borrow<CheckedCueRules>> Cues<R> {
    /// Cues at the start of a lesson, with rules that they borrow or own: nothing is announced (S1).
    pub const fn new(rules: R) -> Self {
        Self {
            rules,
            looked: None,
            playing: Playing::Nothing,
            next: None,
            said: Said { cue: None, holds: false, ago: 0 },
            offered: false,
            student_flies: false,
        }
    }

    /// Processes the outcome of a step and gives the signs. Pass every outcome once, in order.
    pub fn step<const N: usize>(&mut self, outcome: &Outcome<N>) -> Signs {
        self.pass(outcome.at);
        self.student_flies = matches!(outcome.pilot, Pilot::Student(_));
        if let Some(change) = &outcome.event {
            self.change(change, outcome.waiting.is_none());
        }
        self.offer(outcome.pilot, outcome.waiting);
        let lost = outcome.instructor_lost || matches!(outcome.link, Link::Lost);
        self.said.holds = match self.said.cue {
            Some(Cue::Taken) => outcome.waiting == Some(Waiting::Latch),
            Some(Cue::Lost) => lost && outcome.waiting != Some(Waiting::Switch),
            _ => true,
        };
        self.signs()
    }

    /// The signs between two steps.
    pub fn look(&mut self, now: Instant) -> Signs {
        self.pass(now);
        self.signs()
    }

    /// The cue that is playing, its phrase included.
    pub const fn playing(&self) -> Option<Cue> {
        match self.playing {
            Playing::Cue { cue, .. } => Some(cue),
            Playing::Nothing | Playing::Rest { .. } => None,
        }
    }

    /// Advances the time to `now`; the clock may wrap.
    fn pass(&mut self, now: Instant) {
        let last = self.looked.replace(now).unwrap_or(now);
        let dt = now.as_ticks().wrapping_sub(last.as_ticks());
        self.said.ago = self.said.ago.saturating_add(dt);
        self.playing = self.playing.after(dt, self.rules.borrow().rules());
    }

    /// Makes the cue of this change the next one. It replaces a cue that still waits, which is no longer true.
    fn change(&mut self, change: &Event, complete: bool) {
        let cue = Cue::of_change(change, complete);
        self.next = (!self.rules.borrow().rules().rule(cue).is_mute()).then_some(cue);
        self.said = Said { cue: self.next, holds: true, ago: 0 };
    }

    /// Makes an offer the next cue, once, after any cue that still waits; drops it when it no longer holds.
    fn offer(&mut self, pilot: Pilot, waiting: Option<Waiting>) {
        let near = matches!(waiting, Some(Waiting::Dwell { .. } | Waiting::Gate(_)));
        if !near || pilot != Pilot::Instructor {
            self.offered = false;
            self.next = self.next.filter(|&cue| cue != Cue::Offer);
        } else if !self.offered && self.next.is_none() && !self.rules.borrow().rules().offer.is_mute() {
            self.offered = true;
            self.next = Some(Cue::Offer);
        }
    }

    /// Begins the next cue or a repeat if it may begin now, and gives the signs.
    fn signs(&mut self) -> Signs {
        let due = self.next.or_else(|| self.reminder());
        let begun = due.filter(|&cue| self.playing.lets(cue));
        let voice = begun.and_then(|cue| self.begin(cue));
        let (rule, on) = match self.playing {
            Playing::Cue { cue, place, .. } => {
                let rule = self.rules.borrow().rules().rule(cue);
                (Some(rule), rule.rhythm.is_pulse(place))
            }
            Playing::Nothing | Playing::Rest { .. } => (None, false),
        };
        let plays = |organ: fn(&CueRule) -> bool| on && rule.is_some_and(organ);
        Signs {
            lamp: plays(|rule| rule.lamp),
            beeper: plays(|rule| rule.beeper),
            vibration: plays(|rule| rule.vibration),
            student_flies: self.student_flies,
            begun,
            voice,
        }
    }

    /// The cue of the last change, if its repeat is due.
    fn reminder(&self) -> Option<Cue> {
        let cue = self.said.cue.filter(|_| self.said.holds)?;
        let every = self.rules.borrow().rules().rule(cue).every;
        (!every.is_zero() && self.said.ago >= every.as_ticks()).then_some(cue)
    }

    fn begin(&mut self, cue: Cue) -> Option<Voice> {
        let speaking = self.playing().is_some_and(|cut| self.rules.borrow().rules().rule(cut).phrase.is_some());
        self.next = None;
        self.said.ago = 0;
        self.playing = Playing::Cue { cue, place: 0, there_for: 0, on_for: 0 };
        match self.rules.borrow().rules().rule(cue).phrase {
            Some(phrase) => Some(Voice::Say(phrase.slot)),
            None => speaking.then_some(Voice::Stop),
        }
    }
}

impl Playing {
    /// The state `dt` microseconds later. A pulse or gap ends with the first look after its time, and the next one
    /// lasts for at least one look. So none is left out, however late the look.
    fn after(self, dt: u32, rules: &CueRules) -> Self {
        match self {
            Self::Nothing => Self::Nothing,
            Self::Cue { cue, place, there_for, on_for } => {
                let rule = rules.rule(cue);
                let (there_for, on_for) = (there_for.saturating_add(dt), on_for.saturating_add(dt));
                let (place, there_for) = match rule.rhythm.length(place) {
                    Some(length) if there_for >= length => (place.saturating_add(1), 0),
                    _ => (place, there_for),
                };
                let spoken = rule.phrase.is_none_or(|phrase| on_for >= phrase.lasts.as_ticks());
                if spoken && rule.rhythm.length(place).is_none() {
                    Self::Rest { after: cue, on_for: 0 }
                } else {
                    Self::Cue { cue, place, there_for, on_for }
                }
            }
            Self::Rest { after, on_for } => {
                let on_for = on_for.saturating_add(dt);
                if on_for >= rules.rest.as_ticks() { Self::Nothing } else { Self::Rest { after, on_for } }
            }
        }
    }

    /// Whether this cue may begin now. A cue that takes the craft need not wait for a cue that does not.
    const fn lets(self, cue: Cue) -> bool {
        match self {
            Self::Nothing => true,
            Self::Cue { cue: other, .. } | Self::Rest { after: other, .. } => cue.takes() && !other.takes(),
        }
    }
}

impl Rhythm {
    /// Whether there is a pulse at this place.
    fn is_pulse(&self, place: u8) -> bool {
        place & 1 == 0 && self.length(place).is_some()
    }
}
