//! The content of the flash, from its first byte on.

use crate::Refusal;
use crate::elf::Segment;

/// Where the flash of an RP2040 begins in its address space (data sheet, section 2.2, from memory).
pub(crate) const START: u32 = 0x1000_0000;
/// The 2 MiB of flash that `memory.x` describes, without the last 8 KiB, which keep the stored plan.
const SIZE: usize = (2 << 20) - (8 << 10);
/// The unit in which the flash is erased. Each unit is written whole, so that no old byte stays in it.
const SECTOR: usize = 4096;
/// A byte of erased flash.
const ERASED: u8 = 0xff;

/// The boot code and, after it, its check value.
const BOOT: usize = 252;

/// All sectors that these segments touch, and those between them.
pub(crate) fn image(segments: &[Segment<'_>]) -> Result<Vec<u8>, Refusal> {
    let mut order: Vec<&Segment<'_>> = segments.iter().collect();
    order.sort_by_key(|segment| segment.address);
    let mut flash = Vec::new();
    for segment in order {
        let outside = Refusal::NotInFlash(segment.address);
        let at = segment.address.checked_sub(START).ok_or(outside)? as usize;
        if at + segment.bytes.len() > SIZE {
            return Err(outside);
        }
        if at < flash.len() {
            return Err(Refusal::Overlap(segment.address));
        }
        if flash.is_empty() && at > 0 {
            return Err(Refusal::NoBootCode);
        }
        flash.resize(at, ERASED);
        flash.extend_from_slice(segment.bytes);
    }
    let (code, check) = flash.split_first_chunk::<BOOT>().ok_or(Refusal::NoBootCode)?;
    let found = u32::from_le_bytes(*check.first_chunk().ok_or(Refusal::NoBootCode)?);
    let computed = boot_check(code);
    if found != computed {
        return Err(Refusal::BootCode { found, computed });
    }
    flash.resize(flash.len().next_multiple_of(SECTOR), ERASED);
    Ok(flash)
}

/// The check value that the chip computes of the first 252 bytes of the flash and compares with the four bytes after
/// them: a CRC-32 with the polynomial 0x04c11db7, first value 0xffffffff, most significant bit first, not inverted (data
/// sheet of the RP2040, section 2.8.1.3.1, from memory).
pub fn boot_check(code: &[u8]) -> u32 {
    code.iter().fold(u32::MAX, |crc, &byte| {
        (0..8).fold(crc ^ u32::from(byte) << 24, |crc, _| (crc << 1) ^ if crc >> 31 == 1 { 0x04c1_1db7 } else { 0 })
    })
}
