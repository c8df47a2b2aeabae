//! Why there are no thresholds to recommend, and what would help.

use core::fmt;

use crate::message::Message;
use crate::quantity::Deflection;

/// The first watched axis for which the target cannot be held.
///
/// `Display` and [`message`](Self::message) name the axis, what was found and what would help.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub enum Refusal {
    /// The axis has no channel, so its stick cannot be watched.
    NoChannel {
        /// The axis.
        axis: u8,
    },
    /// The rest has too few independent frames: it was short, or the noise is so slow that frames repeat each other.
    /// Even a stick that hardly moved is then not known to be quiet.
    RestTooShort {
        /// The axis.
        axis: u8,
        /// Number of frames counted.
        frames: u32,
        /// Number of frames that would be enough.
        wanted: u32,
    },
    /// All readings of the rest are the same, and their quantisation step is unknown.
    NeverChanged {
        /// The axis.
        axis: u8,
    },
    /// Three frames in a row were further from the rest than noise explains, or readings jump too far for a sensible
    /// threshold.
    Moved {
        /// The axis.
        axis: u8,
    },
    /// The smallest threshold that holds the target is too large.
    TooNoisy {
        /// The axis.
        axis: u8,
        /// The threshold that the axis needs.
        engage: Deflection,
        /// The largest threshold that the target allows.
        most: Deflection,
        /// The largest contribution to the threshold.
        trouble: Trouble,
    },
}

/// The largest contribution to a threshold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub enum Trouble {
    /// Noise that changes from frame to frame.
    Noise,
    /// Noise that lasts for several frames, against which `confirm` does little.
    SlowNoise,
    /// The rest drifts while nobody touches the stick.
    Drift,
    /// The spring does not return the stick to the same place.
    Spring,
    /// The quantisation steps of the readings are large.
    Steps,
}

impl Trouble {
    /// What would help, in words.
    pub const fn help(self) -> &'static str {
        match self {
            Self::Noise => "average several readings a frame, or check plug, screen and supply",
            Self::SlowNoise => "clean or replace the potentiometer: averaging and confirm do little",
            Self::Drift => "let the transmitter warm up and learn the rest again",
            Self::Spring => "check spring and bearing of the stick",
            Self::Steps => "read the stick in finer steps",
        }
    }
}

impl Refusal {
    /// The axis.
    pub const fn axis(&self) -> u8 {
        match *self {
            Self::NoChannel { axis }
            | Self::RestTooShort { axis, .. }
            | Self::NeverChanged { axis }
            | Self::Moved { axis }
            | Self::TooNoisy { axis, .. } => axis,
        }
    }

    /// The axis, what was found and what would help, in words.
    ///
    /// ```
    /// use handback::calibrate::{Refusal, Trouble};
    /// use handback::Deflection;
    /// let (engage, most) = (Deflection::from_points(11), Deflection::from_points(8));
    /// assert_eq!(
    ///     Refusal::TooNoisy { axis: 1, engage, most, trouble: Trouble::Drift }.to_string(),
    ///     "axis 1: engage would be 11.00 points, and more than 8.00 points is too much: \
    ///      let the transmitter warm up and learn the rest again"
    /// );
    /// ```
    pub const fn message(&self) -> Message {
        let start = Message::new().text("axis ").number(self.axis() as u32).text(": ");
        match *self {
            Self::NoChannel { .. } => start.text("it is watched and has no channel: give it one, or do not watch it"),
            Self::RestTooShort { frames, wanted, .. } => {
                let came =
                    start.number(frames).text(" frames of rest say too little of its noise: keep hands off for ");
                came.number(wanted).text(" frames")
            }
            Self::NeverChanged { .. } => start
                .text("its reading never changed while hands were off: sweep the stick, so that the step of its ")
                .text("readings is known"),
            Self::Moved { .. } => start
                .text("it moved while hands were off, or its readings jump: measure again; if that does not help, check plug ")
                .text("and potentiometer"),
            Self::TooNoisy { engage, most, trouble, .. } => {
                let much = start.text("engage would be ").points(engage).text(", and more than ").points(most);
                much.text(" is too much: ").text(trouble.help())
            }
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message().as_str())
    }
}

impl core::error::Error for Refusal {}
