//! The stored plan of a trainer box: its bytes, which box and computer share, and where the box keeps them.
//!
//! - [`encode`], [`decode`]: a plan to a file and back. The caller checks a decoded plan ([`Plan::check`]).
//! - [`Slots`]: a file in flash, in two slots. A power cut at any instant leaves the old file or the new one.
//! - [`at_start`]: the plan with which a box starts. [`permit`]: a new plan, only on the bench with the switch off.
//!
//! ```
//! use handback::cue::CueRules;
//! use handback::ppm::{DecoderSetup, EncoderSetup, Level};
//! use handback::{AxisRule, Channels, Policy};
//! use trainer_box::{AxisName, Plan};
//! let plan = Plan::<2, 16, 16> {
//!     names: AxisName::all(["roll", "pitch"]),
//!     policy: Policy::new([AxisRule::sprung(); 2]),
//!     instructor: Channels::pulses(),
//!     student: Channels::pulses(),
//!     craft: Channels::pulses(),
//!     instructor_train: DecoderSetup::new(Level::High),
//!     student_train: DecoderSetup::new(Level::Low),
//!     craft_train: EncoderSetup::new(Level::High),
//!     cues: CueRules::new(),
//! };
//! let mut room = [0; trainer_box_store::FILE_BYTES];
//! let file = trainer_box_store::encode(&plan, &mut room)?;
//! assert_eq!(trainer_box_store::decode::<2, 16, 16>(file)?, plan);
//! # Ok::<(), trainer_box_store::FileError>(())
//! ```
//!
//! [`Plan::check`]: trainer_box::Plan::check
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![deny(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::unwrap_used, clippy::expect_used)]
#![deny(clippy::panic)]

mod file;
mod file_error;
mod header;
mod slots;
mod storing;

pub use file::{FILE_BYTES, VERSION, decode, encode, fingerprint};
pub use file_error::FileError;
pub use slots::{NotWritten, Slots, Unreadable};
pub use storing::{AtStart, NotStored, Permit, Refusal, at_start, permit};
