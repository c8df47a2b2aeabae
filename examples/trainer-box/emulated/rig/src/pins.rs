//! Simulated pins for the adapters of the box, set by the bench.

use core::convert::Infallible;

use embedded_hal::digital::{Error, ErrorKind, ErrorType, InputPin, OutputPin};
use embedded_hal::pwm::{self, SetDutyCycle};

/// An input: its level, or an error where reading it fails.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Input(pub(crate) Result<bool, Broken>);

/// The error of a pin that cannot be read.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Broken;

impl Error for Broken {
    fn kind(&self) -> ErrorKind {
        ErrorKind::Other
    }
}

impl ErrorType for Input {
    type Error = Broken;
}

impl InputPin for Input {
    fn is_high(&mut self) -> Result<bool, Broken> {
        self.0
    }

    fn is_low(&mut self) -> Result<bool, Broken> {
        self.0.map(|high| !high)
    }
}

/// An output: its last level.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Output(pub(crate) bool);

impl ErrorType for Output {
    type Error = Infallible;
}

impl OutputPin for Output {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.0 = false;
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        self.0 = true;
        Ok(())
    }
}

/// A pulse-width output: its last duty.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Duty(pub(crate) u16);

impl pwm::ErrorType for Duty {
    type Error = Infallible;
}

impl SetDutyCycle for Duty {
    fn max_duty_cycle(&self) -> u16 {
        1_000
    }

    fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Infallible> {
        self.0 = duty;
        Ok(())
    }
}
