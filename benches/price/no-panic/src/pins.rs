//! The adapters, on a pin that may fail.

use embedded_hal::digital::{Error, ErrorKind, ErrorType, InputPin, OutputPin};
use embedded_hal::pwm::{self, SetDutyCycle};
use handback::hal::{Beeper, InstructorNow, Lamp, LessonSwitch};
use handback::ppm::Level;

use crate::{any, used};

#[derive(Clone, Copy, Debug)]
struct Failed;

struct Pin;

pub(crate) fn call() {
    let mut switch = LessonSwitch::new(Pin, any(Level::Low));
    let mut button = InstructorNow::new(Pin, any(Level::Low));
    used((switch.read(), button.read()));
    used((switch.into_pin(), button.into_pin()));

    let mut lamp = Lamp::new(Pin, any(Level::Low));
    let mut beeper = Beeper::new(Pin).with_percent(any(50));
    used((lamp.set(any(true)), beeper.set(any(true))));
    used((lamp.into_pin(), beeper.into_output()));
}

fn outcome() -> Result<(), Failed> {
    if any(true) { Ok(()) } else { Err(Failed) }
}

impl Error for Failed {
    fn kind(&self) -> ErrorKind {
        ErrorKind::Other
    }
}

impl pwm::Error for Failed {
    fn kind(&self) -> pwm::ErrorKind {
        pwm::ErrorKind::Other
    }
}

impl ErrorType for Pin {
    type Error = Failed;
}

impl pwm::ErrorType for Pin {
    type Error = Failed;
}

impl InputPin for Pin {
    fn is_high(&mut self) -> Result<bool, Failed> {
        outcome().map(|()| any(true))
    }

    fn is_low(&mut self) -> Result<bool, Failed> {
        outcome().map(|()| any(true))
    }
}

impl OutputPin for Pin {
    fn set_low(&mut self) -> Result<(), Failed> {
        outcome()
    }

    fn set_high(&mut self) -> Result<(), Failed> {
        outcome()
    }
}

impl SetDutyCycle for Pin {
    fn max_duty_cycle(&self) -> u16 {
        any(1)
    }

    fn set_duty_cycle(&mut self, _: u16) -> Result<(), Failed> {
        outcome()
    }
}
