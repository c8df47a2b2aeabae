//! A servo on an output whose pulse width can be set.

use core::fmt;
use core::num::NonZeroU32;

use embedded_hal::pwm::SetDutyCycle;

use crate::clock::Duration;
use crate::message::Message;
use crate::reading::{Micros, Pulse, Unit};

/// The steps of a pulse in a microsecond.
const STEPS: NonZeroU32 = NonZeroU32::MIN.saturating_add((1 << Micros::FRACTION_BITS) - 1);

/// The shortest and the longest period, in microseconds: 400 and 10 pulses a second. Own choice.
const PERIODS: [u32; 2] = [2_500, 100_000];

/// The coarsest step of the duty, in microseconds: 2 points, at which a sprung stick takes over. Own choice.
const COARSEST: u32 = 10;

/// A servo: one pulse in each period, as long as it is told.
///
/// The period is what the output's own set-up gives it, since `embedded-hal` can neither ask nor set it; where the two
/// differ, so do the pulses, in proportion. Measure a pulse before a servo is connected.
#[derive(Clone, Debug)]
pub struct Servo<P> {
    output: P,
    /// In steps of a [`Pulse`].
    period: NonZeroU32,
}

/// Why a servo was refused, or did not get its pulse.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum ServoError<E> {
    /// The period is none of a servo's.
    Period {
        /// The period.
        period: Duration,
    },
    /// The duty has steps of more than 10 us.
    Coarse {
        /// The output's largest duty.
        max_duty: u16,
        /// The least that would do.
        needed: u16,
    },
    /// The pulse does not end within the period.
    TooLong {
        /// The pulse.
        pulse: Pulse,
        /// The period.
        period: Duration,
    },
    /// What the output failed with.
    Output(E),
}

impl<P: SetDutyCycle> Servo<P> {
    /// A servo on an output of this period; it gets no pulse yet.
    ///
    /// # Errors
    /// A period that is not 2.5 to 100 ms long, or a largest duty that divides it into steps of more than 10 us. Lend
    /// the output (`&mut`) to have it back then.
    pub fn new(output: P, period: Duration) -> Result<Self, ServoError<P::Error>> {
        let [shortest, longest] = PERIODS;
        let us = period.as_ticks();
        let in_range = NonZeroU32::new(us).filter(|_| us >= shortest && us <= longest);
        let Some(period) = in_range.and_then(|us| us.checked_mul(STEPS)) else {
            return Err(ServoError::Period { period });
        };
        #[allow(clippy::cast_possible_truncation)] // at most a tenth of 100,000
        let needed = us.div_ceil(COARSEST) as u16;
        let max_duty = output.max_duty_cycle();
        if max_duty < needed {
            return Err(ServoError::Coarse { max_duty, needed });
        }
        Ok(Self { output, period })
    }

    /// Sends pulses of this width from the next period on, to the nearest step of the duty, halves up: at most half a
    /// step too short or too long.
    ///
    /// # Errors
    /// A pulse as long as the period or longer, or what the output failed with; the pulses before go on then.
    pub fn set(&mut self, pulse: Pulse) -> Result<(), ServoError<P::Error>> {
        let bits = u32::from(pulse.to_bits());
        if bits >= self.period.get() {
            return Err(ServoError::TooLong { pulse, period: Duration::from_ticks(self.period.get() / STEPS) });
        }
        // Two numbers of 16 bits: the product has room.
        let all = bits.wrapping_mul(u32::from(self.output.max_duty_cycle()));
        let (whole, rest) = (all / self.period, all % self.period);
        let up = u32::from(rest >= self.period.get().wrapping_sub(rest));
        #[allow(clippy::cast_possible_truncation)] // not more than the largest duty
        let duty = whole.wrapping_add(up) as u16;
        self.output.set_duty_cycle(duty).map_err(ServoError::Output)
    }

    /// Sends no more pulses, so that whoever receives them can fail safe (I2).
    ///
    /// # Errors
    /// What the output failed with; the pulses go on then.
    pub fn stop(&mut self) -> Result<(), ServoError<P::Error>> {
        self.output.set_duty_cycle_fully_off().map_err(ServoError::Output)
    }

    /// The output.
    pub fn into_output(self) -> P {
        self.output
    }
}

impl<E: fmt::Debug> fmt::Display for ServoError<E> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [shortest, longest] = PERIODS;
        let text = match self {
            Self::Period { period } => {
                let is = Message::new().text("period is ").number(period.as_ticks()).text(" us: it must be ");
                is.number(shortest).text(" us to ").number(longest).text(" us")
            }
            Self::Coarse { max_duty, needed } => {
                let is = Message::new().text("max_duty is ").number(u32::from(*max_duty)).text(": it must be ");
                is.number(u32::from(*needed)).text(" or more for steps of 10 us")
            }
            Self::TooLong { pulse, period } => {
                let is = Message::new().text("pulse is ").reading(*pulse).text(": it must be below period, ");
                is.number(period.as_ticks()).text(" us")
            }
            Self::Output(why) => return write!(f, "output failed: {why:?}: check its set-up and wiring"),
        };
        f.write_str(text.as_str())
    }
}

impl<E: fmt::Debug> core::error::Error for ServoError<E> {}
