//! The loadable segments of a linked image.
//!
//! Offsets and values: System V Application Binary Interface, chapters 4 and 5, 32-bit files (from memory).

use crate::Refusal;

/// Bytes, and the address at which they are stored.
pub(crate) struct Segment<'a> {
    pub(crate) address: u32,
    pub(crate) bytes: &'a [u8],
}

/// `\x7fELF`, 32 bits, little endian.
const IDENTITY: [u8; 6] = [0x7f, b'E', b'L', b'F', 1, 1];
const MACHINE: usize = 18;
const ARM: u16 = 40;
const TABLE: usize = 28;
const ENTRY_BYTES: usize = 42;
const ENTRIES: usize = 44;

/// Within an entry of the table of segments.
const KIND: usize = 0;
const LOADABLE: u32 = 1;
const OFFSET: usize = 4;
/// The physical address, where the bytes are stored. Variables are copied from there to their virtual address.
const STORED_AT: usize = 12;
const STORED_BYTES: usize = 16;

/// The loadable segments that have bytes.
pub(crate) fn segments(elf: &[u8]) -> Result<Vec<Segment<'_>>, Refusal> {
    if !elf.starts_with(&IDENTITY) || half(elf, MACHINE)? != ARM {
        return Err(Refusal::NotAnImage);
    }
    let (table, size) = (word(elf, TABLE)? as usize, usize::from(half(elf, ENTRY_BYTES)?));
    let mut segments = Vec::new();
    for number in 0..usize::from(half(elf, ENTRIES)?) {
        let entry = elf.get(table + number * size..).ok_or(Refusal::CutShort)?;
        let (offset, length) = (word(entry, OFFSET)? as usize, word(entry, STORED_BYTES)? as usize);
        if word(entry, KIND)? == LOADABLE && length > 0 {
            let bytes = elf.get(offset..).and_then(|rest| rest.get(..length)).ok_or(Refusal::CutShort)?;
            segments.push(Segment { address: word(entry, STORED_AT)?, bytes });
        }
    }
    Ok(segments)
}

fn half(bytes: &[u8], at: usize) -> Result<u16, Refusal> {
    number(bytes, at).map(u16::from_le_bytes)
}

fn word(bytes: &[u8], at: usize) -> Result<u32, Refusal> {
    number(bytes, at).map(u32::from_le_bytes)
}

fn number<const N: usize>(bytes: &[u8], at: usize) -> Result<[u8; N], Refusal> {
    bytes.get(at..).and_then(|rest| rest.first_chunk()).copied().ok_or(Refusal::CutShort)
}
