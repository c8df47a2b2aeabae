//! What lamp and beeper say while the box learns.
//!
//! ```text
//! low  high    pattern                            meaning
//!              ##                                 that number of short ones: the stick of axis 0, 1, .. alone
//!              #######                            a long one (0.5 s): everything back to the middle
//!              #######   ##  ##                   a long one, then short ones: all sticks, by the table of the README
//!              ###############  ##                a very long one, then a short one: no train of the instructor; two
//!                                                   very long ones: of the student
//!  _ - ^       ### ### ###                        rising: done
//!  ___         ##########                         one low one (0.7 s): wrong, the same again
//!  _ _ _       ##########  ##########  #########  three low ones: ended, nothing is stored
//!  ^           # # # # # # # #                    a high flutter of eight, again and again: stored
//! ```

use handback::calibrate::Prompt;
use trainer_box::{Beats, Pattern, Side};

use crate::step::Ask;

/// What is asked for is said again after this time without a sound, in microseconds. Own choice.
const AGAIN: u32 = 5_000_000;

/// The length of a long pulse, in microseconds.
const LONG: u32 = 500_000;

/// The pitch of the beeper. Where the beeper has one pitch alone, the patterns differ by lengths and counts too.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Pitch {
    /// Half the frequency of the cues.
    Low,
    /// The frequency of the cues.
    #[default]
    Middle,
    /// One and a half times the frequency of the cues.
    High,
}

/// What is said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Sound {
    Asks(Pattern),
    Done,
    Wrong,
    Ended,
    Stored,
}

impl Sound {
    /// The sound for what is asked for.
    pub(crate) fn asks(ask: Ask, missing: Side) -> Option<Self> {
        let pattern = match ask {
            Ask::Trains => Pattern::after_very_long(if missing == Side::Instructor { 1 } else { 2 }, 1),
            Ask::Middle { .. } | Ask::Back { .. } => Pattern::after_long(1, LONG, 0),
            Ask::Alone { axis, .. } => Pattern::after_long(0, 0, axis.saturating_add(1)),
            Ask::All { prompt, .. } => Pattern::after_long(1, LONG, count(prompt)),
            Ask::Done | Ask::Ended(_) => return None,
        };
        Some(Self::Asks(pattern))
    }

    const fn pattern(self) -> Pattern {
        match self {
            Self::Asks(pattern) => pattern,
            Self::Done => Pattern::even(3, 120_000, 60_000),
            Self::Wrong => Pattern::even(1, 700_000, 0),
            Self::Ended => Pattern::even(3, 700_000, 300_000),
            Self::Stored => Pattern::PASSED,
        }
    }
}

/// The number of short pulses for a movement of all sticks.
const fn count(prompt: Prompt) -> u8 {
    match prompt {
        Prompt::HandsOff => 1,
        Prompt::TopRight => 2,
        Prompt::LetGo => 3,
        Prompt::BottomLeft => 4,
        Prompt::Stir => 5,
        Prompt::Done => 0,
    }
}

/// Plays a result first, then the newest that is asked for, and that again after a while.
#[derive(Clone, Debug, Default)]
pub(crate) struct Player {
    beats: Beats,
    playing: Option<Sound>,
    /// The pulses of the pattern that have begun.
    pulses: u8,
    on: bool,
    result: Option<Sound>,
    asks: Option<Sound>,
    /// Whether `asks` has not been played yet.
    is_new: bool,
}

impl Player {
    /// A result, which is played next.
    pub(crate) const fn result(&mut self, sound: Sound) {
        self.result = Some(sound);
    }

    /// What is asked for from now on.
    pub(crate) fn asks(&mut self, sound: Option<Sound>) {
        self.is_new |= sound != self.asks;
        self.asks = sound;
    }

    /// Asks for the same from the beginning.
    pub(crate) const fn ask_again(&mut self) {
        self.is_new = true;
    }

    /// Whether everything has been played.
    pub(crate) const fn is_over(&self) -> bool {
        !self.beats.is_playing() && self.result.is_none()
    }

    /// Lets time pass, in microseconds: whether lamp and beeper are on, and the pitch.
    pub(crate) fn pass(&mut self, dt: u32) -> (bool, Pitch) {
        // A result breaks off what is asked for.
        let breaks_off = self.result.is_some() && matches!(self.playing, Some(Sound::Asks(_)));
        if !self.beats.is_playing() || breaks_off {
            let due = self.is_new || self.beats.idle() >= AGAIN;
            let next = self.result.take().or_else(|| {
                let asks = self.asks.filter(|_| due);
                self.is_new &= asks.is_none();
                asks
            });
            if let Some(sound) = next {
                (self.playing, self.pulses, self.on) = (Some(sound), 0, false);
                self.beats.begin(sound.pattern());
            }
        }
        let on = self.beats.pass(dt);
        self.pulses = self.pulses.saturating_add(u8::from(on && !self.on));
        self.on = on;
        let pitch = match (self.playing, self.pulses) {
            (Some(Sound::Wrong | Sound::Ended), _) | (Some(Sound::Done), 0 | 1) => Pitch::Low,
            (Some(Sound::Stored), _) | (Some(Sound::Done), 3..) => Pitch::High,
            _ => Pitch::Middle,
        };
        (on, pitch)
    }
}
