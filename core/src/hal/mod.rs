//! Switch, button, lamp and beeper on the pins of any `embedded-hal` 1.0 (feature `hal`).
//!
//! - [`LessonSwitch`], [`InstructorNow`]: on any `InputPin`. The engine handles contact bounce (S2, S3).
//! - [`Lamp`]: on any `OutputPin`; also for an active buzzer or the transistor of a vibration motor.
//! - [`Beeper`]: on any `SetDutyCycle`.
//!
//! No pin can cause a panic. A pin that fails is reported. It then has the value that leaves the craft with the
//! instructor.
//!
//! ```
//! use handback::cue::Signs;
//! use handback::hal::{Beeper, InstructorNow, Lamp, LessonSwitch};
//! use handback::{Frame, Inputs};
//! use embedded_hal::digital::{InputPin, OutputPin};
//! use embedded_hal::pwm::SetDutyCycle;
//!
//! struct Desk<S, B, L, P> {
//!     switch: LessonSwitch<S>,
//!     button: InstructorNow<B>,
//!     lamp: Lamp<L>,
//!     beeper: Beeper<P>,
//!     failures: u32,
//! }
//!
//! impl<S: InputPin, B: InputPin, L: OutputPin, P: SetDutyCycle> Desk<S, B, L, P> {
//!     /// What the step is to be given besides the sticks.
//!     fn read<'a>(&mut self, [instructor, student]: [Option<&'a Frame<4>>; 2]) -> Inputs<'a, 4> {
//!         let (switch, button) = (self.switch.read(), self.button.read());
//!         self.failures += u32::from(switch.failed.is_some() || button.failed.is_some());
//!         Inputs { instructor, student, lesson_switch: switch.on, instructor_now: button.on }
//!     }
//!
//!     /// What people see and hear of it.
//!     fn show(&mut self, signs: Signs) {
//!         let failed = [self.lamp.set(signs.lamp).is_err(), self.beeper.set(signs.beeper).is_err()];
//!         self.failures += u32::from(failed.contains(&true)); // and tell someone
//!     }
//! }
//! ```
//!
//! Propellers off while you wire and try. Set the receiver's failsafe first.

mod input;
mod output;

pub use input::{InstructorNow, LessonSwitch, Seen};
pub use output::{Beeper, Lamp};
