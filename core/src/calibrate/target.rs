//! The target of a recommendation.

use crate::quantity::{Deflection, Duration};

/// How seldom noise may take the craft, and the limits of the thresholds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
#[non_exhaustive]
pub struct Target {
    /// Mean time between takeovers by noise, in seconds of flying, of all watched axes together. Default 360,000: 100
    /// hours.
    pub apart: u32,
    /// The time from one instructor's frame to the next, 1 ms or more. It must be the same as while the rest was
    /// measured: measure it, as the mean time between good frames, while the rest is measured.
    pub frame_length: Duration,
    /// The thresholds of sticks that a spring returns to their centre. Default from 1 point to 8, and 2 if possible.
    pub sprung: Bounds,
    /// The thresholds of sticks that stay where they are left. Default from 2 points to 16, and 8 if possible.
    pub unsprung: Bounds,
}

/// Limits of a recommended `engage`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct Bounds {
    /// The smallest `engage`, however quiet the stick is: a hand near a stick moves it, and a receiver rounds. It holds
    /// even where it is above `most`.
    pub least: Deflection,
    /// An `engage` that is small enough: the smallest `confirm` that reaches it is recommended.
    pub aim: Deflection,
    /// The largest `engage`. A larger one is no takeover threshold any more, and is refused.
    pub most: Deflection,
}

impl Target {
    /// One takeover by noise in 100 flying hours, with frames this far apart. The bounds are an own choice, about the
    /// usual 2 and 8 points (common practice, no source).
    pub const fn new(frame_length: Duration) -> Self {
        const fn bounds(least: i16, aim: i16, most: i16) -> Bounds {
            let [least, aim, most] =
                [Deflection::from_points(least), Deflection::from_points(aim), Deflection::from_points(most)];
            Bounds { least, aim, most }
        }
        Self { apart: 360_000, frame_length, sprung: bounds(1, 2, 8), unsprung: bounds(2, 8, 16) }
    }
}
