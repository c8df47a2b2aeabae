//! The lesson switch and the instructor-now button.

use embedded_hal::digital::InputPin;

use crate::ppm::Level;

/// The state of a pin, or the error with which it failed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[must_use = "a pin that fails should be told of"]
pub struct Seen<E> {
    /// Whether the switch is on, or the button pressed. If the pin failed: the value that leaves the craft with the
    /// instructor.
    pub on: bool,
    /// The error of the pin; `None` if it could be read.
    pub failed: Option<E>,
}

/// The lesson switch, for [`Inputs::lesson_switch`](crate::Inputs::lesson_switch).
///
/// A pin that cannot be read counts as off: the instructor has the craft in that step (S3). For `on`, choose the level
/// that a broken wire does not give: [`Level::Low`], with a switch that closes to ground and a pull-up.
#[derive(Clone, Debug)]
pub struct LessonSwitch<P> {
    pin: P,
    on: Level,
}

/// The instructor-now button, for [`Inputs::instructor_now`](crate::Inputs::instructor_now).
///
/// A pin that cannot be read counts as pressed: the instructor may be pressing the button. The instructor has the craft
/// until the lesson switch has been off (T7). For `pressed`, choose the level that a broken wire gives:
/// [`Level::High`], with a button that opens from ground when it is pressed, and a pull-up.
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

    /// Reads whether the switch is on now.
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

    /// Reads whether the button is pressed now.
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
