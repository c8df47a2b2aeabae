//! The instructor's button in a set-up: three presses begin it, a long one ends it.

use handback::Instant;

use crate::pace::passed;

/// A reading of the button counts once it has lasted this long, in microseconds. Own choice, as are the others here.
const BOUNCE: u32 = 30_000;

/// The presses that begin, and the time in which all of them must be done, in microseconds.
const PRESSES: u8 = 3;
const WITHIN: u32 = 3_000_000;

/// The length of a press that ends, in microseconds.
const LONG: u32 = 2_000_000;

/// The button without its bounce.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Button {
    pressed: bool,
    /// The time since which the pin reads something else than `pressed`.
    other_since: Option<Instant>,
    /// The beginning of the last press, and of the first of several.
    pressed_at: Instant,
    first_at: Instant,
    presses: u8,
}

impl Button {
    /// A button that is still held, since it was held at the start of the box.
    pub(crate) const fn new(now: Instant) -> Self {
        Self { pressed: true, other_since: None, pressed_at: now, first_at: now, presses: 0 }
    }

    /// Takes a reading. Says whether the last of several presses ended now.
    pub(crate) fn pressed_often(&mut self, now: Instant, reads: bool) -> bool {
        if reads == self.pressed {
            self.other_since = None;
            return false;
        }
        let since = *self.other_since.get_or_insert(now);
        if passed(since, now) < BOUNCE {
            return false;
        }
        (self.pressed, self.other_since) = (reads, None);
        if reads {
            if self.presses == 0 || passed(self.first_at, now) > WITHIN {
                (self.presses, self.first_at) = (0, now);
            }
            self.presses = self.presses.saturating_add(1);
            self.pressed_at = now;
            return false;
        }
        let often = self.presses >= PRESSES && passed(self.first_at, now) <= WITHIN;
        if often {
            self.presses = 0;
        }
        often
    }

    /// Whether it is held for long.
    pub(crate) const fn is_held(&self, now: Instant) -> bool {
        self.pressed && passed(self.pressed_at, now) >= LONG
    }
}
