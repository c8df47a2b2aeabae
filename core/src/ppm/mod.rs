//! PPM pulse trains in and out: the wire between two transmitters.
//!
//! A frame of `n` channels has `n + 1` short pulses, the *separators*. The width of a channel is the time from the
//! start of one separator to the start of the next. After the last separator the line rests for the *gap*, and the next
//! frame begins.
//!
//! ```text
//!        separator                                                              next frame
//!         __         __         __           __                                  __
//! _______|  |_______|  |_______|  |_________|  |________________________________|  |______
//!        |<- ch 0 ->|<- ch 1 ->|<-- ch 2 -->|  |<------------ gap ------------->|
//!        |<--------------------------- frame length --------------------------->|
//! ```
//!
//! The separators are drawn high. A train may also rest high and have low separators, see [`Level`].
//!
//! - [`Decoder`]: edges in, good frames out, and a [`Tally`] of good frames and of faults.
//! - [`Encoder`]: frames in, edges out; every frame has the same length.
//!
//! Both have room for `N` channels. The set-up says how many of them the train has: all `N`, or fewer
//! ([`DecoderSetup::channels`], [`EncoderSetup::channels`]).
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
//! All default values here are common practice, no source.

mod count;
mod decoder;
mod decoder_setup;
mod encoder;
mod error;
mod tally;

pub use decoder::Decoder;
pub use decoder_setup::DecoderSetup;
pub use encoder::{Encoder, EncoderSetup};
pub use error::{Field, PpmError};
pub use tally::{Fault, Tally};

use crate::quantity::Instant;

/// The level of the line.
///
/// A set-up must say which level the separators have; there is no default. With the wrong level, a decoder yields no
/// frame and counts [`Fault::Polarity`].
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
    /// From the `is_high` of a pin.
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

/// The microseconds from one instant to another; an instant before `from` gives a very long time.
const fn between(from: Instant, to: Instant) -> u32 {
    to.as_ticks().wrapping_sub(from.as_ticks())
}

/// The instant that is `us` microseconds later.
const fn after(instant: Instant, us: u32) -> Instant {
    Instant::from_ticks(instant.as_ticks().wrapping_add(us))
}
