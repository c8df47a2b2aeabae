//! Counts good frames, and the faults that dropped others.

use core::fmt;

/// Why a frame was dropped.
///
/// While the decoder looks for a gap there is no frame to drop. Then it only counts the faults that keep it from
/// finding a gap ([`NoGap`](Self::NoGap), [`Polarity`](Self::Polarity)), silences and overruns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Fault {
    /// Two edges in a row to the same level: an edge between them is missing, or one of them does not belong to the
    /// train.
    LostEdge,
    /// A pulse shorter than a separator.
    Glitch,
    /// A pulse longer than a separator.
    WideSeparator,
    /// A channel shorter or longer than a channel can be.
    Width,
    /// Not the number of channels of the train from gap to gap, in this frame or in the one before; [`Tally::channels`] is the number.
    Count,
    /// The separators of one frame differ by more than `jitter`: an edge was moved.
    Uneven,
    /// Seventeen channels in a row without a gap.
    NoGap,
    /// The line rested at the level of the separators: the set-up has the wrong polarity.
    Polarity,
    /// No edge for longer than `silence`, or a clock that ran backwards.
    Silence,
    /// An edge that is older than the poll that found the line at rest: edges wait too long before they are passed on.
    LateEdge,
    /// The caller reported that the hardware lost edges.
    Overrun,
}

impl Fault {
    /// Every fault, in the order of the list.
    pub const ALL: [Self; 11] = [
        Self::LostEdge,
        Self::Glitch,
        Self::WideSeparator,
        Self::Width,
        Self::Count,
        Self::Uneven,
        Self::NoGap,
        Self::Polarity,
        Self::Silence,
        Self::LateEdge,
        Self::Overrun,
    ];

    /// The meaning in a few words.
    ///
    /// ```
    /// assert_eq!(handback::ppm::Fault::Polarity.words(), "wrong polarity");
    /// ```
    pub const fn words(self) -> &'static str {
        match self {
            Self::LostEdge => "lost edge",
            Self::Glitch => "pulse too short",
            Self::WideSeparator => "pulse too long",
            Self::Width => "channel out of range",
            Self::Count => "wrong number of channels",
            Self::Uneven => "uneven pulses",
            Self::NoGap => "no gap",
            Self::Polarity => "wrong polarity",
            Self::Silence => "silence",
            Self::LateEdge => "edge given too late",
            Self::Overrun => "edges lost by the hardware",
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.words())
    }
}

/// Counts of a decoder since it was built. Every counter saturates.
///
/// ```
/// use handback::ppm::{Decoder, DecoderSetup, Fault, Level};
/// let mut decoder = DecoderSetup::new(Level::High).check::<8>()?;
/// decoder.overrun();
/// assert_eq!(decoder.tally().of(Fault::Overrun), 1);
/// assert_eq!(decoder.tally().good, 0);
/// # Ok::<(), handback::ppm::PpmError>(())
/// ```
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Tally {
    /// Good frames.
    pub good: u32,
    /// Good frames that were not read in time: a newer one came, or `silence` passed. They are part of `good`.
    pub unread: u32,
    /// Number of channels of the last frame between two gaps, good or not; 0 before the first frame.
    pub channels: u8,
    faults: [u32; Fault::ALL.len()],
}

impl Tally {
    pub(super) const NONE: Self = Self { good: 0, unread: 0, channels: 0, faults: [0; Fault::ALL.len()] };

    /// How often this fault was seen.
    pub fn of(&self, fault: Fault) -> u32 {
        self.faults.get(fault as usize).copied().unwrap_or(0)
    }

    /// How often any fault was seen.
    pub fn faults(&self) -> u32 {
        self.faults.iter().fold(0, |sum, &count| sum.saturating_add(count))
    }

    pub(super) fn note(&mut self, fault: Fault) {
        if let Some(count) = self.faults.get_mut(fault as usize) {
            more(count);
        }
    }

    pub(super) const fn note_good(&mut self) {
        more(&mut self.good);
    }

    pub(super) const fn note_unread(&mut self) {
        more(&mut self.unread);
    }
}

const fn more(count: &mut u32) {
    *count = count.saturating_add(1);
}
