//! Learns the transmitters of a trainer box, and makes a plan of what was learnt.
//!
//! [`Learning`] is fed with the trains of both transmitters. It asks for one stick after another, the instructor's and
//! then the student's, and finds the channel and the direction of each. The guide of the library
//! ([`handback::calibrate`]) then learns ends, centres and noise. A wrong movement is told and asked again. At the end
//! there is a new [`Plan`](trainer_box::Plan), which passed its check; of a sequence that is not done there is none.
//!
//! [`Tutor`] goes through the sequence on a box alone, with its button, lamp and beeper.
//!
//! Propellers off, and the receiver of the craft without power: the sticks are moved to their ends.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![deny(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::unwrap_used, clippy::expect_used)]
#![deny(clippy::panic)]

mod alone;
mod guide;
mod learning;
mod pace;
mod plan;
mod press;
mod sound;
mod step;
mod tutor;

pub use learning::Learning;
pub use sound::Pitch;
pub use step::{Ask, End, Step, Wrong};
pub use tutor::Tutor;
