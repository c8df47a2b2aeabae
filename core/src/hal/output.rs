//! What people see, hear and feel.

use embedded_hal::digital::OutputPin;
use embedded_hal::pwm::SetDutyCycle;

use crate::ppm::Level;

/// A lamp, or anything else that is on or off.
#[derive(Clone, Debug)]
pub struct Lamp<P> {
    pin: P,
    lit: Level,
}

/// A beeper without an oscillator of its own: the output's frequency is its pitch.
#[derive(Clone, Debug)]
pub struct Beeper<P> {
    output: P,
    percent: u8,
}

impl<P: OutputPin> Lamp<P> {
    /// A lamp that is lit while the pin has this level.
    pub const fn new(pin: P, lit: Level) -> Self {
        Self { pin, lit }
    }

    /// Lights it, or not. The pin is written every time, so that one that lost its state is put right.
    ///
    /// # Errors
    /// What the pin failed with; the next call tries again.
    pub fn set(&mut self, on: bool) -> Result<(), P::Error> {
        match if on { self.lit } else { self.lit.other() } {
            Level::Low => self.pin.set_low(),
            Level::High => self.pin.set_high(),
        }
    }

    /// The pin.
    pub fn into_pin(self) -> P {
        self.pin
    }
}

impl<P: SetDutyCycle> Beeper<P> {
    /// A beeper that is driven half of the time, which is loudest.
    pub const fn new(output: P) -> Self {
        Self { output, percent: 50 }
    }

    /// The same, driven so many percent of the time, at most 100; for a vibration motor, how hard it shakes.
    #[must_use]
    pub fn with_percent(mut self, percent: u8) -> Self {
        self.percent = percent.min(100);
        self
    }

    /// Sounds it, or not. The output is written every time, so that one that lost its state is put right.
    ///
    /// # Errors
    /// What the output failed with; the next call tries again.
    pub fn set(&mut self, on: bool) -> Result<(), P::Error> {
        if on { self.output.set_duty_cycle_percent(self.percent) } else { self.output.set_duty_cycle_fully_off() }
    }

    /// The output.
    pub fn into_output(self) -> P {
        self.output
    }
}
