//! Converts a linked image (ELF) into a UF2 file for an RP2040: the file that is copied to the drive of the board.
//!
//! An image that could not start is refused: one without boot code, with a wrong check value in it, or with bytes outside
//! the flash.

mod elf;
mod flash;
mod refusal;
mod uf2;

pub use flash::boot_check;
pub use refusal::Refusal;

/// The UF2 file of a linked image.
///
/// # Errors
/// The reason why the image cannot run on the board.
pub fn from_elf(elf: &[u8]) -> Result<Vec<u8>, Refusal> {
    let flash = flash::image(&elf::segments(elf)?)?;
    Ok(uf2::blocks(flash::START, &flash))
}
