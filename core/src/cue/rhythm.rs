//! A rhythm: pulses, and the gaps between them.

use super::Cue;

/// Up to six pulses and the gaps between them, in milliseconds.
///
/// ```
/// use handback::cue::Rhythm;
/// let gallop = Rhythm::of([100, 100, 500, 100, 100]);
/// assert_eq!((gallop.pulses(), gallop.lasts()), (3, 900));
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(transparent))]
pub struct Rhythm {
    /// Pulse, gap, pulse and so on; zeros at the end are unused.
    ms: [u16; Self::LENGTHS],
}

impl Rhythm {
    /// The largest number of lengths in a rhythm: six pulses and the gaps between them.
    pub const LENGTHS: usize = 11;

    /// No pulse: a cue that is only spoken, or not given.
    pub const SILENT: Self = Self { ms: [0; Self::LENGTHS] };

    /// A rhythm of these lengths in milliseconds: pulse, gap, pulse and so on. More than [`LENGTHS`](Self::LENGTHS) of
    /// them do not compile. [`CueRules::check`](super::CueRules::check) checks the values.
    ///
    /// ```compile_fail,E0080
    /// let _ = handback::cue::Rhythm::of([100; 13]);
    /// ```
    pub const fn of<const K: usize>(lengths: [u16; K]) -> Self {
        const { assert!(K <= Self::LENGTHS, "a rhythm has up to 6 pulses and 5 gaps between them") };
        let mut rhythm = Self::SILENT;
        let (mut to, mut from) = (rhythm.ms.as_mut_slice(), lengths.as_slice());
        while let ([ms, free @ ..], [length, left @ ..]) = (to, from) {
            *ms = *length;
            to = free;
            from = left;
        }
        rhythm
    }

    /// The lengths in milliseconds: pulse, gap, pulse and so on.
    pub const fn lengths(&self) -> &[u16] {
        let mut lengths = self.ms.as_slice();
        while let [before @ .., 0] = lengths {
            lengths = before;
        }
        lengths
    }

    /// The number of pulses.
    pub const fn pulses(&self) -> usize {
        self.lengths().len().saturating_add(1) >> 1
    }

    /// How long the rhythm lasts, in milliseconds.
    pub const fn lasts(&self) -> u32 {
        let (mut all, mut left) = (0u32, self.lengths());
        while let [ms, rest @ ..] = left {
            all = all.saturating_add(*ms as u32);
            left = rest;
        }
        all
    }

    /// The length at this place in microseconds: pulses at even places, gaps at odd ones. `None` past the last.
    pub(super) fn length(&self, place: u8) -> Option<u32> {
        let ms = self.lengths().get(usize::from(place)).copied()?;
        Some(u32::from(ms).wrapping_mul(1_000)) // below 2^26
    }
}

impl Cue {
    /// The rhythm of the cue in [`CueRules::new`](super::CueRules::new), chosen for this project.
    ///
    /// A long pulse is a third longer than two short pulses that lost the gap between them.
    pub const fn rhythm(self) -> Rhythm {
        /// A short pulse: about the shortest that can be felt from a small vibration motor (from memory).
        const S: u16 = 100;
        /// A long pulse.
        const L: u16 = 500;
        /// A gap.
        const G: u16 = 100;
        /// A wider gap, which groups the pulses for a listener who does not count.
        const W: u16 = 200;
        match self {
            Self::Taken => Rhythm::of([L, G, L]),
            Self::Lost => Rhythm::of([L, G, S, G, S, G, L]),
            Self::Nobody => Rhythm::of([L, G, L, G, L, G, L]),
            Self::HandedBack => Rhythm::of([S, G, S]),
            Self::Both => Rhythm::of([S, G, S, W, S, G, S]),
            Self::Offer => Rhythm::of([S, G, S, G, S, W, S, G, S, G, S]),
        }
    }
}
