//! The box on the pins of any `embedded-hal`: the readings of its inputs, the levels of its outputs, and their
//! failures. One binary, so that it links once.

mod inputs;
mod lesson;
mod outputs;

use std::io::ErrorKind;

use embedded_hal_mock::eh1::MockError;
use handback::ppm::Level;

const BOTH: [Level; 2] = [Level::Low, Level::High];

fn broken() -> MockError {
    MockError::Io(ErrorKind::NotConnected)
}
