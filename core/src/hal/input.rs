//! The lesson switch and the instructor-now button.

use embedded_hal::digital::InputPin;

use crate::ppm::Level;

/// What a pin says, and why it could not be asked if it could not.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[must_use = "a pin that fails should be told of"]
pub struct Seen<E> {
    /// Whether the switch is on, or the button asks; of a pin that failed, what leaves the craft with the instructor.
    pub on: bool,
    /// What the pin failed with.
    pub failed: Option<E>,
}

/// The lesson switch, for [`Inputs::lesson_switch`](crate::Inputs::lesson_switch).
///
/// A pin that cannot be read is a switch that is off: the craft is the instructor's in that step (S3). Choose the level
/// that a broken wire does not give: a switch that closes to ground, with a pull-up, and [`Level::Low`] for on.
#[derive(Clone, Debug)]
pub struct LessonSwitch<P> {
    pin: P,
    on: Level,
}

/// The instructor-now button, for [`Inputs::instructor_now`](crate::Inputs::instructor_now).
///
/// A pin that cannot be read is a button that is pressed: the instructor may be pressing it. The craft is the
/// instructor's, and stays so until the lesson switch has been off (T7). Choose the level that a broken wire gives: a
/// button that opens from ground when it is pressed, with a pull-up, and [`Level::High`] for pressed.
#[derive(Clone, Debug)]
pub struct InstructorNow<P> {
    pin: P,
    pressed: Level,
}

impl<P: InputPin> LessonSwitch<P> {
    /// A switch that is on while the pin has this level.
    pub const fn new(pin: P, on: Level) -> Self {
        Self { pin, on }
    }

    /// Whether it is seen on now.
    pub fn read(&mut self) -> Seen<P::Error> {
        read(&mut self.pin, self.on, false)
    }

    /// The pin.
    pub fn into_pin(self) -> P {
        self.pin
    }
}

impl<P: InputPin> InstructorNow<P> {
    /// A button that is pressed while the pin has this level.
    pub const fn new(pin: P, pressed: Level) -> Self {
        Self { pin, pressed }
    }

    /// Whether the craft is asked for now.
    pub fn read(&mut self) -> Seen<P::Error> {
        read(&mut self.pin, self.pressed, true)
    }

    /// The pin.
    pub fn into_pin(self) -> P {
        self.pin
    }
}

fn read<P: InputPin>(pin: &mut P, active: Level, when_it_fails: bool) -> Seen<P::Error> {
    match pin.is_high() {
        Ok(high) => Seen { on: Level::from(high) == active, failed: None },
        Err(why) => Seen { on: when_it_fails, failed: Some(why) },
    }
}
