//! PPM pulse trains in and out: the wire between two transmitters.
//!
//! A frame of `N` channels is `N + 1` short *separators*. From the start of one to the start of the next is a channel's
//! width; after the last one the line rests for the *gap*, and the next frame begins.
//!
//! ```text
//!        separator                                                              next frame
//!         __         __         __           __                                  __
//! _______|  |_______|  |_______|  |_________|  |________________________________|  |______
//!        |<- ch 0 ->|<- ch 1 ->|<-- ch 2 -->|  |<------------ gap ------------->|
//!        |<--------------------------- frame length --------------------------->|
//! ```
//!
//! Drawn with separators that are high; a train may as well rest high and have low ones, see [`Level`].
//!
//! - [`Decoder`]: edges in, good frames out or nothing, and a [`Tally`] of why.
//! - [`Encoder`]: frames in, edges out, in a frame of constant length.
//! - [`Counter`]: a timer of fewer bits, or of more ticks, made into the [`Instant`]s that both of them speak.
//!
//! ```
//! use handback::ppm::{Decoder, DecoderSetup, Encoder, EncoderSetup, Level};
//! use handback::{Instant, Pulse};
//!
//! let mut encoder = EncoderSetup::new(Level::High).check::<8>()?;
//! let mut decoder = DecoderSetup::new(Level::High).check::<8>()?;
//! let sticks = [1500, 1500, 1000, 1500, 2000, 1000, 1500, 1500].map(Pulse::from_micros);
//! encoder.start(Instant::from_ticks(0), &sticks);
//!
//! let mut heard = None;
//! for _ in 0..60 {
//!     let edge = encoder.next_edge().expect("a train that runs");
//!     heard = heard.or(decoder.poll(edge.at)); // firmware: from the main loop, each millisecond or so
//!     decoder.edge(edge); // firmware: from the interrupt or the capture queue
//! }
//! assert_eq!(heard, Some(sticks));
//! # Ok::<(), handback::ppm::PpmError>(())
//! ```
//!
//! All figures that are defaults here are common practice, no source.

mod counter;
mod decoder;
mod decoder_setup;
mod encoder;
mod error;
mod tally;

pub use counter::Counter;
pub use decoder::Decoder;
pub use decoder_setup::DecoderSetup;
pub use encoder::{Encoder, EncoderSetup};
pub use error::{Field, PpmError};
pub use tally::{Fault, Tally};

use crate::clock::Instant;

/// The level of the line.
///
/// Which one the separators have is a set-up's first question, and it has no default: with the wrong answer a decoder
/// yields nothing and counts [`Fault::Polarity`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Level {
    /// Low: separators of this level belong to a train that rests high.
    Low,
    /// High: separators of this level belong to a train that rests low.
    High,
}

impl Level {
    /// The other level.
    ///
    /// ```
    /// use handback::ppm::Level;
    /// assert_eq!(Level::Low.other(), Level::High);
    /// ```
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Low => Self::High,
            Self::High => Self::Low,
        }
    }
}

impl From<bool> for Level {
    /// What `is_high` of a pin says.
    fn from(high: bool) -> Self {
        if high { Self::High } else { Self::Low }
    }
}

/// A change of the line's level.
///
/// ```
/// use handback::Instant;
/// use handback::ppm::{Edge, Level};
/// let _rising = Edge { at: Instant::from_ticks(1_234), level: Level::High };
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Edge {
    /// When, in microseconds of a clock that may wrap.
    pub at: Instant,
    /// The level from then on: high after a rising edge.
    pub level: Level,
}

/// The microseconds from one instant to another; an instant that runs backwards is a very long time.
const fn between(from: Instant, to: Instant) -> u32 {
    to.as_ticks().wrapping_sub(from.as_ticks())
}

/// So many microseconds later.
const fn after(instant: Instant, us: u32) -> Instant {
    Instant::from_ticks(instant.as_ticks().wrapping_add(us))
}
