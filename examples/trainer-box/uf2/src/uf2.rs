//! The blocks of a UF2 file.
//!
//! Source: the specification "USB Flashing Format (UF2)", sections 'File format' and 'Family ID' (from memory).

/// A block has this many bytes, of which `DATA` are reserved for the payload.
const BLOCK: usize = 512;
const DATA: usize = 476;
/// The bytes of a payload: the page of the flash.
const PAYLOAD: usize = 256;

const MAGIC_START: [u32; 2] = [0x0a32_4655, 0x9e5d_5157];
const MAGIC_END: u32 = 0x0ab1_6f30;
/// The word after the number of blocks is a family id.
const HAS_FAMILY: u32 = 0x2000;
const RP2040: u32 = 0xe48b_ff56;

/// The blocks of these bytes, which begin at this address. Their number must be a multiple of 256.
pub(crate) fn blocks(address: u32, bytes: &[u8]) -> Vec<u8> {
    let (pages, rest) = bytes.as_chunks::<PAYLOAD>();
    debug_assert!(rest.is_empty());
    let mut file = Vec::with_capacity(pages.len() * BLOCK);
    let [page_bytes, count] = [PAYLOAD, pages.len()].map(|number| u32::try_from(number).unwrap_or(u32::MAX));
    for (number, page) in (0..).zip(pages) {
        let target = address + number * page_bytes;
        for word in [MAGIC_START[0], MAGIC_START[1], HAS_FAMILY, target, page_bytes, number, count, RP2040] {
            file.extend_from_slice(&word.to_le_bytes());
        }
        file.extend_from_slice(page);
        file.resize(file.len() + DATA - PAYLOAD, 0);
        file.extend_from_slice(&MAGIC_END.to_le_bytes());
    }
    file
}
