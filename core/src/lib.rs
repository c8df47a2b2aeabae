//! The takeover engine of a trainer box: two sets of sticks go in, one safe set comes out.
//!
//! A student flies a radio-controlled model while an instructor watches with hands on untouched sticks. The moment the
//! instructor moves a stick, the craft is the instructor's, whatever the student does; letting go hands it back after a
//! short dwell. handback decides who flies in every frame. It is `no_std`, allocates nothing, computes in fixed point,
//! and gives the same bits on a microcontroller as on the host.
//!
//! ```
//! use handback::{AxisRule, Deflection, Engine, Frame, Inputs, Instant, Pilot, Policy, PolicyError};
//!
//! type Moment = (Instant, Option<Frame<4>>, Option<Frame<4>>, bool);
//!
//! fn trainer_box(mut receive: impl FnMut() -> Option<Moment>, mut send: impl FnMut(&Frame<4>)) -> Result<(), PolicyError> {
//!     let (stick, throttle) = (AxisRule::sprung(), AxisRule::unsprung(Deflection::from_points(-100)));
//!     let policy = Policy::new([stick, stick, throttle, stick]).check()?;
//!     let mut engine = Engine::new(&policy);
//!     while let Some((now, instructor, student, lesson_switch)) = receive() {
//!         let (instructor, student) = (instructor.as_ref(), student.as_ref());
//!         let outcome = engine.step(now, Inputs { instructor, student, lesson_switch, ..Inputs::default() });
//!         if outcome.pilot != Pilot::Nobody {
//!             send(&outcome.output); // else no pulses: the receiver's own failsafe acts
//!         }
//!     }
//!     Ok(())
//! }
//! # // The switch goes on after 10 frames; after 40 no frame of the instructor's comes any more.
//! # let idle = Deflection::from_points(-100);
//! # let sticks = Frame::new([Deflection::CENTRE, Deflection::CENTRE, idle, Deflection::CENTRE]);
//! # let mut lesson = (0..200_u32)
//! #     .map(|n| (Instant::from_ticks(20_000 * n), (n < 40).then_some(sticks), Some(sticks), n > 10));
//! # let mut sent = 0;
//! # trainer_box(|| lesson.next(), |_| sent += 1)?;
//! # // 40 frames, and 50 more until the last of them is older than a second: then nobody flies (I2).
//! # assert_eq!(sent, 90);
//! # Ok::<(), PolicyError>(())
//! ```
//!
//! The rules that a step keeps stand in `core/CONTRACT.md`, each with an id (`T2`) that doc comments and tests cite.
//!
//! # Map
//! - [`Deflection`], [`Frame`], [`AxisSet`]: the quantities; [`Instant`], [`Duration`]: time.
//! - [`Policy`], [`AxisRule`]: what the user decides; [`CheckedPolicy`]: the same, checked (P1).
//! - [`Engine`], [`Inputs`], [`Outcome`]: the step; [`Event`], [`Cause`], [`Waiting`]: what people are told of it.
//! - [`Record`]: totals and the last events of the lesson.
//! - [`Pulse`], [`Count`]: what a channel is read as; [`Channels`], [`Channel`]: how they become a frame, and a frame
//!   pulses; [`CheckedChannels`]: the same, checked.
//! - [`ppm`]: PPM in and out, the wire between two transmitters.
//! - [`cue`]: who has control, heard, seen and felt without looking.
//! - [`calibrate`]: centre, ends and noise of the sticks, and thresholds from them.
//! - [`preflight`]: the whole bench checked before flight, step by step.
//! - `hal` (feature): switch, button, lamp, beeper and servo on the pins of any `embedded-hal`.
//! - `reference` (feature): the float model of the same contract, to hold the engine against.
//!
//! # Features
//! All off by default, and each only adds: `defmt` and `serde` on every public type, `hal`, `reference`.
//!
//! # What it does not do
//! No radio, no mixing, no drivers.
//!
//! # Cautions
//! Propellers off on the bench, craft held down, bystanders clear; set and test the receiver's failsafe first, range-check
//! with both transmitters, and never fly a lesson without a qualified instructor who can take over. The radio's manual,
//! the rules of the band, local law and club rules come before anything written here.
#![no_std]
#![forbid(unsafe_code)]

#[cfg(feature = "serde")]
mod array;
mod axis_set;
pub mod calibrate;
mod channel;
mod channel_check;
mod channel_error;
mod checked;
mod checked_channels;
mod clock;
pub mod cue;
mod deflection;
mod engine;
mod findings;
#[cfg(feature = "hal")]
pub mod hal;
mod latch;
mod line;
mod message;
mod outcome;
mod policy;
mod policy_error;
pub mod ppm;
pub mod preflight;
mod reading;
mod reciprocal;
mod record;
#[cfg(feature = "reference")]
pub mod reference;
mod share;
mod signal;
mod stick;
mod switch;
mod transfer;
mod weight;

pub use axis_set::AxisSet;
pub use channel::{Channel, Channels};
pub use channel_error::ChannelError;
pub use checked::CheckedPolicy;
pub use checked_channels::CheckedChannels;
pub use clock::{Duration, Instant};
pub use deflection::{Deflection, Frame};
pub use engine::{Engine, Inputs};
pub use message::Message;
pub use outcome::{Cause, Event, Link, Outcome, Pilot, Reception, Waiting};
pub use policy::{AxisRule, Latches, Policy, Rest, Scope, Transfer};
pub use policy_error::{PolicyError, Timing};
pub use reading::{Count, Counts, Micros, Pulse, Reading, Unit};
pub use record::{FrameCount, Record, TotalTime, Totals};

/// A policy, or any set-up with a `check`, checked when it is compiled: what does not pass is an error of the compiler.
///
/// ```
/// use handback::{AxisRule, CheckedPolicy, Duration, Policy};
/// static POLICY: CheckedPolicy<1> = handback::checked!({
///     let mut policy = Policy::new([AxisRule::sprung()]);
///     policy.dwell = Duration::from_millis(500);
///     policy
/// });
/// ```
#[macro_export]
macro_rules! checked {
    ($setup:expr) => {
        const {
            match $setup.check() {
                Ok(checked) => checked,
                Err(why) => panic!("{}", why.message().as_str()),
            }
        }
    };
}

/// The README's example is compiled with the tests.
#[cfg(doctest)]
#[doc = include_str!("../../README.md")]
struct Readme;
