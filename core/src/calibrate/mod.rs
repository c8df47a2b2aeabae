//! Calibration: centre, ends, direction and noise of the instructor's own sticks, and thresholds computed from them.
//!
//! A [`Calibration`] guides the pilot through a [`SEQUENCE`] and learns from one frame of readings at a time. Its
//! result, [`Learnt`], gives [`Channel`](crate::Channel)s and, with a [`Target`], a [`Recommendation`]. A
//! recommendation is the smallest `engage`, `release` and `confirm` of every watched axis with which noise takes the
//! craft no more often than the target allows, and a `dwell` that bridges a sweep through centre. Where the recording
//! does not show how often noise passes a threshold, the threshold is a margin and says so ([`Basis`]). Where no
//! sensible threshold exists, a [`Refusal`] says why and what would help.
//!
//! ```
//! use handback::calibrate::{Basis, Calibration, Prompt, Target};
//! use handback::{AxisRule, AxisSet, Channels, Duration, Policy, Pulse};
//!
//! // A stick that rests at 1520 us, shivers a little, and does as it is told. Hands are off for two minutes.
//! let mut calibration = Calibration::new(AxisSet::first(1), 6000);
//! # let mut random = 1_u32;
//! # let mut shiver = || { random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223); random >> 28 };
//! for n in 0.. {
//!     let at = match calibration.step() {
//!         Prompt::HandsOff | Prompt::LetGo => 1520 * 16,
//!         Prompt::TopRight => 1995 * 16,
//!         Prompt::BottomLeft => 1040 * 16,
//!         Prompt::Stir => (1520 + (n % 40_i32 - 20) * 20) * 16,
//!         Prompt::Done => break,
//!     };
//!     let reading = u16::try_from(at).expect("a pulse");
//!     # let reading = reading + shiver() as u16;
//!     calibration.take(&[Pulse::from_bits(reading)]);
//! }
//! let learnt = calibration.learnt().expect("done");
//! let channels = Channels::<_, 1, 1>::new([learnt.axes[0].channel(0)]);
//! let target = Target::new(Duration::from_millis(20));
//! let recommended = learnt.recommend(&channels, AxisSet::first(1), &target).expect("a quiet stick");
//! let rests = channels.check().expect("a good set-up").frame(&learnt.centres());
//! let policy = recommended.apply(Policy::new([AxisRule::sprung()]), &rests);
//! assert!(policy.check().is_ok());
//! assert_eq!(policy.axes[0].confirm, 1);
//! assert_eq!(recommended.axes[0].map(|axis| axis.basis), Some(Basis::Rate));
//! ```
//!
//! # What is measured
//! - At rest: mean, variance, peak to peak, the quantisation step, the correlation of a frame with each of the next
//!   two, the variance of the means of 64, 128, 256, .. frames, the largest distance that one, two and three frames in
//!   a row reached, and the number of frames beyond each of 28 distances. The sums are exact.
//! - After a stick is let go: where it comes to rest, how far it swings past its centre, and how long until it stands
//!   still.
//! - In sweeps: the largest number of frames that one sweep spent within each of four bands about the centre.
//!
//! # What is claimed
//! A threshold with [`Basis::Rate`] holds the target if the noise is normal and stays as it was measured. The effective
//! number of independent frames limits how well centre and deviation are known, so the deviation is increased by one
//! and a half of its standard errors.
//!
//! A threshold with [`Basis::Margin`] claims no rate. It is at least twice the largest distance from the rest that a
//! row of `confirm` frames reached. The [`Doubt`] says why the recording supports no rate: for example, the rest
//! wanders, the noise has heavy tails, readings jump, or their quantisation steps are too coarse to show the noise.
//!
//! A recommendation does *not* cover what was not measured: drift slower than the rest lasted, jumps rarer than that,
//! cold or vibration that the bench does not have, and an instructor who rests a finger on the stick. Fly the first
//! lesson with thresholds from the bench at a safe height; before that, propellers off.

mod advice;
mod axis;
mod doubt;
mod guide;
mod learnt;
mod lengths;
mod meter;
mod motion;
mod noise;
mod refusal;
mod sequence;
mod spread;
mod step_size;
mod sums;
mod tables;
mod tail;
mod target;
mod whole;

pub use advice::{AxisAdvice, Recommendation};
pub use doubt::{Basis, Doubt};
pub use guide::{Calibration, CalibrationProgress};
pub use learnt::{Learnt, LearntAxis};
pub use meter::RestMeter;
pub use motion::Sweep;
pub use noise::RestNoise;
pub use refusal::{Refusal, Trouble};
pub use sequence::{Prompt, SEQUENCE};
pub use tail::deviations;
pub use target::{Bounds, Target};
