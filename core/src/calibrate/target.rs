//! What is wanted of thresholds.

use crate::clock::Duration;
use crate::deflection::Deflection;

/// How seldom noise may take the craft, and which thresholds are worth having.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct Target {
    /// Seconds of flying per takeover that nobody made, of all watched axes together. Default 360,000: 100 hours.
    pub apart: u32,
    /// The time from one instructor's frame to the next, 1 ms or more; the same while the rest was measured.
    pub frame: Duration,
    /// The thresholds of sticks that a spring brings home. Default from 1 point to 8, and 2 if possible.
    pub sprung: Bounds,
    /// The thresholds of sticks that stay where they are left. Default from 2 points to 16, and 8 if possible.
    pub unsprung: Bounds,
}

/// Which `engage` is worth having.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct Bounds {
    /// No less, however quiet the stick: a hand near a stick moves it, and a receiver rounds.
    pub least: Deflection,
    /// Small enough: the fewest frames of `confirm` that reach it are recommended.
    pub aim: Deflection,
    /// More is no takeover threshold any more: it is refused.
    pub most: Deflection,
}

impl Target {
    /// One takeover that nobody made in 100 flying hours, at so much time from frame to frame. Bounds: own choice, about
    /// the usual 2 and 8 points (common practice, no source).
    pub const fn new(frame: Duration) -> Self {
        const fn bounds(least: i16, aim: i16, most: i16) -> Bounds {
            let [least, aim, most] =
                [Deflection::from_points(least), Deflection::from_points(aim), Deflection::from_points(most)];
            Bounds { least, aim, most }
        }
        Self { apart: 360_000, frame, sprung: bounds(1, 2, 8), unsprung: bounds(2, 8, 16) }
    }
}
