//! Calibration: centre, ends, direction and noise of the instructor's own sticks, and thresholds from them.
//!
//! A [`Calibration`] guides the pilot through a [`SEQUENCE`] and learns from one frame of readings at a time. What it has
//! [`Learnt`] makes [`Channel`](crate::Channel)s, and, with a [`Target`], a [`Recommendation`]: the smallest `engage`,
//! `release` and `confirm` of every watched axis with which noise takes the craft no more often than wanted, and a
//! `dwell` that bridges a sweep through centre. Where the recording does not say how often that is, they are a margin and
//! say so ([`Basis`]). Where there are none that make sense, a [`Refusal`] says why and what would help.
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
//! - At rest: mean, variance, peak to peak, the quantisation step, the correlation of a frame with the next two, the variance
//!   of the means of 64, 128, 256, .. frames, the largest distance that one, two and three frames in a row had, and how many
//!   frames were how far off. The sums are exact.
//! - Of a stick that is let go: where it comes to rest, how far and how long it swings past.
//! - Of sweeps: the most frames that one spent near the centre, within four bands about it.
//!
//! # What is claimed
//! A threshold with [`Basis::Rate`] holds the target as far as the noise is normal and stays as it was measured. The centre
//! and the deviation are known as well as the effective number of independent frames allows; the deviation is taken one and
//! a half standard errors larger.
//!
//! A threshold with [`Basis::Margin`] claims no rate. It is at least twice as far as rows of `confirm` frames were seen from
//! the rest. The [`Doubt`] says why the recording carries no rate: the rest wanders, the noise has heavy tails, readings
//! jump, or their steps are too coarse to see the noise.
//!
//! What was *not* measured is in no recommendation: drift slower than the rest lasted, jumps rarer than that, cold or
//! vibration that the bench does not have, and the hand of an instructor who rests a finger on the stick. Fly the first lesson
//! with thresholds from the bench high, propellers off before that.

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
