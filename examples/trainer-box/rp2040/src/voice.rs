//! The voice: a module with a trigger input for each phrase, which says the phrase when its input goes low (common
//! practice, no source).

use handback::cue::Voice;
use handback::hal::Lamp;
use handback::ppm::Level;
use rp2040_hal::gpio::{DynPinId, FunctionSioOutput, Pin, PullDown};

/// The number of phrases: one for each cue. The slot of a phrase is the number of its pin.
pub(crate) const PHRASES: usize = 6;

/// How long an input is low, in turns of the loop: 100 ms.
const LOW: u8 = 100;

pub(crate) type Trigger = Pin<DynPinId, FunctionSioOutput, PullDown>;

pub(crate) struct Speaker {
    /// An input that is low is like a lamp that is lit.
    triggers: [Lamp<Trigger>; PHRASES],
    /// How many turns the input that is low stays so.
    left: u8,
}

impl Speaker {
    pub(crate) fn new(pins: [Trigger; PHRASES]) -> Self {
        let mut speaker = Self { triggers: pins.map(|pin| Lamp::new(pin, Level::Low)), left: 0 };
        speaker.set(None);
        speaker
    }

    /// One turn of the loop, with the order of this turn if there is one. Such a module cannot be told to break off:
    /// the next phrase does that.
    pub(crate) fn turn(&mut self, order: Option<Voice>) {
        if let Some(Voice::Say(slot)) = order {
            self.set(Some(slot));
            self.left = LOW;
        } else if self.left > 0 {
            self.left -= 1;
            if self.left == 0 {
                self.set(None);
            }
        }
    }

    /// Pulls the input of this slot low, and lets all others go.
    fn set(&mut self, slot: Option<u8>) {
        for (number, trigger) in (0..).zip(&mut self.triggers) {
            let Ok(()) = trigger.set(Some(number) == slot);
        }
    }
}
