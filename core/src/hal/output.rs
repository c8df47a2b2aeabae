//! The outputs that people see, hear and feel.

use embedded_hal::digital::OutputPin;
use embedded_hal::pwm::SetDutyCycle;

use crate::ppm::Level;

/// A lamp, or any other output that is on or off.
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

    /// Switches the lamp on or off. Every call writes the pin, so that a pin that lost its state is corrected.
    ///
    /// # Errors
    /// The error of the pin. The next call tries again.
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
    /// A beeper with a duty cycle of 50 percent, which is loudest.
    pub const fn new(output: P) -> Self {
        Self { output, percent: 50 }
    }

    /// Sets the duty cycle in percent, at most 100. It sets how strongly a vibration motor shakes.
    #[must_use]
    pub fn with_percent(mut self, percent: u8) -> Self {
        self.percent = percent.min(100);
        self
    }

    /// Switches the beeper on or off. Every call writes the output, so that an output that lost its state is corrected.
    ///
    /// # Errors
    /// The error of the output. The next call tries again.
    pub fn set(&mut self, on: bool) -> Result<(), P::Error> {
        if on { self.output.set_duty_cycle_percent(self.percent) } else { self.output.set_duty_cycle_fully_off() }
    }

    /// The output.
    pub fn into_output(self) -> P {
        self.output
    }
}
