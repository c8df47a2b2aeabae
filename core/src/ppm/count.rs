//! The number of channels of a train: the room of a decoder or an encoder, or fewer by its set-up.

use super::error::PpmError;

/// The smallest and the largest number of channels of a train.
pub(super) const FEWEST: u8 = 4;
pub(super) const MOST: u8 = 16;

/// The room for channels, 4 to 16. Another `N` does not compile.
pub(super) const fn room<const N: usize>() -> u8 {
    const { assert!(N >= FEWEST as usize && N <= MOST as usize, "a train has 4 to 16 channels") };
    #[allow(clippy::cast_possible_truncation)] // at most 16
    let room = N as u8;
    room
}

/// The number of channels with this set-up: the number in it, or all that have room.
pub(super) const fn channels(set: Option<u8>, room: u8) -> u8 {
    match set {
        Some(channels) => channels,
        None => room,
    }
}

pub(super) const fn check(set: Option<u8>, room: u8) -> Result<(), PpmError> {
    let channels = channels(set, room);
    if channels < FEWEST || channels > room {
        return Err(PpmError::Channels { channels, room });
    }
    Ok(())
}
