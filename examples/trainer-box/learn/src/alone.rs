//! One stick moves alone, which says its channel.

use handback::Pulse;
use trainer_box::MOST_CHANNELS;

/// Frames over which the place of every channel is learnt before a stick moves. Own choice, as are the others here.
const STILL: u8 = 25;

/// Frames for which a moved stick is held.
const HELD: u8 = 15;

/// Frames for which the sticks are back.
const BACK: u8 = 11;

/// A channel this far from its place was moved; another one this far was moved too. In sixteenths of a microsecond.
const MOVED: u16 = 200 * 16;
pub(crate) const STIRRED: u16 = 60 * 16;

/// The place of every channel, and what moved from it.
#[derive(Clone, Debug)]
pub(crate) struct Alone {
    place: [u16; MOST_CHANNELS],
    sums: [u32; MOST_CHANNELS],
    /// The channels of the train.
    channels: usize,
    /// Frames that were as wanted, in a row.
    frames: u8,
}

/// What moved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Moved {
    pub(crate) channel: u8,
    /// Whether its pulse became wider.
    pub(crate) wider: bool,
    /// Another channel that moved too.
    pub(crate) other: Option<u8>,
}

impl Alone {
    pub(crate) fn new(channels: u8) -> Self {
        let channels = usize::from(channels);
        Self { place: [0; MOST_CHANNELS], sums: [0; MOST_CHANNELS], channels, frames: 0 }
    }

    /// Measures the place of every channel. Says whether it is known: no channel was stirred meanwhile.
    pub(crate) fn is_still(&mut self, train: &[Pulse; MOST_CHANNELS]) -> bool {
        if self.frames == 0 || self.off(train).any(|off| off.1 >= STIRRED) {
            (self.place, self.sums, self.frames) = (train.map(Pulse::to_bits), [0; MOST_CHANNELS], 0);
        }
        for (sum, width) in self.sums.iter_mut().zip(train) {
            *sum = sum.saturating_add(width.to_bits().into());
        }
        self.frames = self.frames.saturating_add(1);
        if self.frames < STILL {
            return false;
        }
        for (place, sum) in self.place.iter_mut().zip(self.sums) {
            *place = u16::try_from(sum.checked_div(STILL.into()).unwrap_or(0)).unwrap_or(u16::MAX);
        }
        self.frames = 0;
        true
    }

    /// What moved, once it is held.
    pub(crate) fn moved(&mut self, train: &[Pulse; MOST_CHANNELS]) -> Option<Moved> {
        let (channel, off) = self.off(train).max_by_key(|&(_, off)| off)?;
        self.frames = if off >= MOVED { self.frames.saturating_add(1) } else { 0 };
        if self.frames < HELD {
            return None;
        }
        self.frames = 0;
        let other = self.off(train).find(|&(other, off)| other != channel && off >= STIRRED).map(|(other, _)| other);
        let wider = train.get(usize::from(channel))?.to_bits() > *self.place.get(usize::from(channel))?;
        Some(Moved { channel, wider, other })
    }

    /// Whether this channel is back at its place, or every channel where it is `None`.
    pub(crate) fn is_back(&mut self, train: &[Pulse; MOST_CHANNELS], channel: Option<u8>) -> bool {
        let near = self.off(train).all(|(of, off)| off < STIRRED || channel.is_some_and(|channel| channel != of));
        self.frames = if near { self.frames.saturating_add(1) } else { 0 };
        let back = self.frames >= BACK;
        if back {
            self.frames = 0;
        }
        back
    }

    /// How far each channel is from its place.
    fn off(&self, train: &[Pulse; MOST_CHANNELS]) -> impl Iterator<Item = (u8, u16)> {
        let off = (0..).zip(train.iter().zip(&self.place)).take(self.channels);
        off.map(|(channel, (at, place))| (channel, at.to_bits().abs_diff(*place)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The number of steps until it is so.
    fn steps(mut is_so: impl FnMut() -> bool) -> Option<usize> {
        (1..1000).find(|_| is_so())
    }

    /// Given sticks at rest, then one that is moved and one that is back, when frames come, then the places are known after
    /// 25 of them, the channel that moved after 15, its return after 11; one stirred frame begins the rest again.
    #[test]
    fn still_held_and_back_take_their_frames() {
        let [rest, moved] = [1500, 1700].map(|at| [Pulse::from_micros(at); MOST_CHANNELS]);
        let mut alone = Alone::new(1);
        assert!(!alone.is_still(&moved));
        assert_eq!(steps(|| alone.is_still(&rest)), Some(25));
        let first = Some(Moved { channel: 0, wider: true, other: None });
        assert_eq!(steps(|| alone.moved(&moved) == first), Some(15));
        assert_eq!(steps(|| alone.is_back(&rest, None)), Some(11));
    }
}
