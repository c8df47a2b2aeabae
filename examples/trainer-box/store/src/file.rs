//! A plan as a file.
//!
//! ```text
//! 0    4     5      6        8                    8 + length
//! | tbox | version | axes | length | the plan | CRC-32 of all bytes before |
//! ```
//!
//! The plan is in the format of `postcard`. Numbers of the frame around it have their lowest byte first.

use outcome_digest::Crc32;
use trainer_box::Plan;

use crate::file_error::FileError;

/// The room for a file, in bytes. A plan for four axes needs less.
pub const FILE_BYTES: usize = 1536;

/// The version of the format. It changes with every change of what a plan contains.
pub const VERSION: u8 = 2;

/// The first bytes of a file.
const MARK: [u8; 4] = *b"tbox";
/// The number of bytes before and after the plan.
const HEAD: usize = 8;
const TAIL: usize = 4;

/// Writes a plan as a file, and returns its bytes. The plan need not pass its check: the reader checks it.
///
/// # Errors
/// Where the file does not fit.
pub fn encode<'a, const N: usize, const M: usize, const S: usize>(
    plan: &Plan<N, M, S>,
    room: &'a mut [u8],
) -> Result<&'a [u8], FileError> {
    let most = room.len();
    let no_room = || FileError::Room { bytes: most };
    let (head, body) = room.split_first_chunk_mut::<HEAD>().ok_or_else(no_room)?;
    let length = postcard::to_slice(plan, body).map_err(|_| no_room())?.len();
    let [low, high] = u16::try_from(length).map_err(|_| no_room())?.to_le_bytes();
    let [a, b, c, d] = MARK;
    *head = [a, b, c, d, VERSION, axes::<N>(), low, high];
    let (checked, rest) = room.split_at_mut_checked(HEAD.saturating_add(length)).ok_or_else(no_room)?;
    *rest.first_chunk_mut::<TAIL>().ok_or_else(no_room)? = crc(checked).to_le_bytes();
    room.get(..HEAD.saturating_add(length).saturating_add(TAIL)).ok_or_else(no_room)
}

/// A number of a plan that another plan hardly has: the CRC-32 at the end of its file.
pub fn fingerprint<const N: usize, const M: usize, const S: usize>(plan: &Plan<N, M, S>) -> u32 {
    let mut room = [0; FILE_BYTES];
    let file = encode(plan, &mut room);
    file.ok().and_then(|file| file.last_chunk()).map_or(0, |sum| u32::from_le_bytes(*sum))
}

/// Reads the plan from a file. It is still to be [checked](Plan::check).
///
/// # Errors
/// Where these bytes are no file of this version, for this number of axes, as it was written.
pub fn decode<const N: usize, const M: usize, const S: usize>(file: &[u8]) -> Result<Plan<N, M, S>, FileError> {
    let cut = FileError::Length { bytes: file.len(), needed: HEAD.saturating_add(TAIL) };
    let (head, after) = file.split_first_chunk::<HEAD>().ok_or(cut)?;
    let [mark @ .., version, axes_written, low, high] = *head;
    if mark != MARK {
        return Err(FileError::Mark);
    }
    if version != VERSION {
        return Err(FileError::Version { version });
    }
    if axes_written != axes::<N>() {
        return Err(FileError::Axes { axes: axes_written, of_box: axes::<N>() });
    }
    let length = usize::from(u16::from_le_bytes([low, high]));
    let needed = HEAD.saturating_add(length).saturating_add(TAIL);
    if file.len() != needed {
        return Err(FileError::Length { bytes: file.len(), needed });
    }
    let (checked, tail) = file.split_last_chunk::<TAIL>().ok_or(cut)?;
    if crc(checked) != u32::from_le_bytes(*tail) {
        return Err(FileError::Check);
    }
    let plan = after.get(..length).ok_or(cut)?;
    match postcard::take_from_bytes(plan) {
        Ok((plan, [])) => Ok(plan),
        _ => Err(FileError::Content),
    }
}

/// The number of axes: no set-up has more than 16.
fn axes<const N: usize>() -> u8 {
    u8::try_from(N).unwrap_or(u8::MAX)
}

pub(crate) fn crc(bytes: &[u8]) -> u32 {
    let mut crc = Crc32::new();
    crc.add(bytes);
    crc.value()
}
