//! The takeover engine of a trainer box: two sets of sticks go in, one safe set comes out.
//!
//! A student flies a radio-controlled model while an instructor watches with hands on untouched sticks. As soon as the
//! instructor moves a stick, the instructor has the craft, whatever the student does. When the instructor lets go, the
//! student gets it back after a short dwell. handback decides who flies in every frame. It is `no_std`, allocates
//! nothing, computes in fixed point, and gives the same bits on a microcontroller as on the host.
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
//!             send(&outcome.output); // nobody flies: send nothing, the receiver's own failsafe acts
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
//! The rules of a step are in `core/CONTRACT.md`. Each rule has an id (`T2`), which doc comments and tests cite.
//!
//! # Map
//! - [`Deflection`], [`Frame`], [`AxisSet`]: the quantities; [`Instant`], [`Duration`]: time.
//! - [`Policy`], [`AxisRule`]: what the user decides; [`CheckedPolicy`]: the same, checked (P1).
//! - [`Engine`], [`Inputs`], [`Outcome`]: the step; [`Event`], [`Cause`], [`Waiting`]: what to tell people.
//! - [`Record`]: totals and the last events of the lesson.
//! - [`Pulse`], [`Count`]: the readings of a channel; [`Channels`], [`Channel`]: how readings become a frame, and a
//!   frame becomes readings; [`CheckedChannels`]: the same, checked.
//! - [`ppm`]: PPM in and out, the wire between two transmitters.
//! - [`cue`]: sound, light and vibration that tell who has control.
//! - [`calibrate`]: centre, ends and noise of the sticks, and thresholds from them.
//! - [`preflight`]: a check of the whole bench before flight, step by step.
//! - `hal` (feature): switch, button, lamp and beeper on the pins of any `embedded-hal`.
//! - `reference` (feature): the float model of the same contract, to compare the engine with.
//!
//! # Features
//! All are off by default. Each one only adds: `defmt` and `serde` on every public type, `hal`, `reference`. `states` is
//! for this project's own search over every state of the engine.
//!
//! # What it does not do
//! No radio, no mixing, no drivers.
//!
//! # Cautions
//! Propellers off on the bench, craft held down, bystanders clear. Set and test the receiver's failsafe first.
//! Range-check with both transmitters. Never fly a lesson without a qualified instructor who can take over. The radio's
//! manual, the rules of the band, local law and club rules come before anything written here.
#![cfg_attr(docsrs, feature(doc_cfg))]
#![no_std]
#![forbid(unsafe_code)]

pub mod calibrate;
mod channel;
pub mod cue;
mod engine;
mod error;
#[cfg(feature = "hal")]
pub mod hal;
mod message;
mod policy;
pub mod ppm;
pub mod preflight;
mod quantity;
mod record;
#[cfg(feature = "reference")]
pub mod reference;

pub use channel::{Channel, ChannelError, Channels, CheckedChannels};
pub use engine::{Cause, Engine, Event, Inputs, Link, Outcome, Pilot, Reception, Waiting};
pub use error::Error;
pub use message::Message;
pub use policy::{AxisRule, CheckedPolicy, Latches, Policy, PolicyError, Rest, Scope, Timing, Transfer};
pub use quantity::{AxisSet, Count, Counts, Deflection, Duration, Frame, Instant, Micros, Pulse, Reading, Unit};
pub use record::{FrameCount, Record, TotalTime, Totals};

/// The README's examples are compiled with the tests.
#[cfg(doctest)]
#[doc = include_str!("../README.md")]
struct Readme;
