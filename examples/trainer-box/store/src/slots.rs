//! Two slots of flash. The older one takes the new file, so the newer one keeps the old file until the new one is
//! complete.
//!
//! A slot is one erase block:
//!
//! ```text
//! 0        256                          512
//! | header | header of the other slot | file ...
//! ```
//!
//! [`Slots::store`] erases the older block, writes the file and then its header: from then on the file is the newest.
//! At last it writes a copy of the header into the other block. So a block that was lost as a whole is not taken for
//! one in which nothing was stored, and the older file is not taken for the newest.
//!
//! A block without a header counts for nothing, whatever is in it: it was never used, an erase or a write in it was cut,
//! or another program used it.

use embedded_storage::nor_flash::NorFlash;

use crate::file::{FILE_BYTES, crc};
use crate::header::{HEADER_BYTES, Header};

/// What is written at a time, in bytes. A header has a page of its own.
const PAGE: usize = 256;
/// Where the copy of the other slot's header is, and where the file begins.
const COPY_AT: u32 = 256;
const FILE_AT: u32 = 512;

/// A file in two erase blocks of flash.
#[derive(Clone, Debug)]
pub struct Slots<F> {
    flash: F,
    first: u32,
}

/// Why no file can be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unreadable<E> {
    /// Something was stored, and the flash has not kept it.
    Damaged,
    /// The flash cannot be read.
    Flash(E),
}

/// Why a file was not written. The file before it is still there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotWritten<E> {
    /// The file is longer than [`FILE_BYTES`].
    TooLong {
        /// Its length, in bytes.
        bytes: usize,
    },
    /// The flash does not keep what is written to it.
    Worn,
    /// The flash cannot be read, erased or written.
    Flash(E),
}

impl<F: NorFlash> Slots<F> {
    const FITS: () = assert!(
        PAGE.is_multiple_of(F::WRITE_SIZE)
            && HEADER_BYTES.is_multiple_of(F::READ_SIZE)
            && F::ERASE_SIZE.is_multiple_of(PAGE)
            && F::ERASE_SIZE >= FILE_AT as usize + FILE_BYTES,
        "a slot is one erase block, written by pages of 256 bytes"
    );

    /// The slots in two erase blocks, the first of which begins at this address of the flash.
    pub const fn new(flash: F, first: u32) -> Self {
        const { Self::FITS };
        Self { flash, first }
    }

    /// The newest file; `None` where none was ever stored to its end.
    ///
    /// # Errors
    /// Where a file was stored that cannot be read. An older file is not a substitute for it.
    pub fn load<'a>(&mut self, room: &'a mut [u8; FILE_BYTES]) -> Result<Option<&'a [u8]>, Unreadable<F::Error>> {
        let Some((place, header)) = self.newest().map_err(Unreadable::Flash)? else { return Ok(None) };
        let file = self.file(place, header, room).map_err(Unreadable::Flash)?;
        file.map(Some).ok_or(Unreadable::Damaged)
    }

    /// Stores a file. A power cut at any instant leaves the file before it, or this one.
    ///
    /// # Errors
    /// Where it does not fit or the flash fails. The file before it is still the newest one, unless the flash failed
    /// in the last step, the copy of the header.
    pub fn store(&mut self, file: &[u8]) -> Result<(), NotWritten<F::Error>> {
        if file.len() > FILE_BYTES {
            return Err(NotWritten::TooLong { bytes: file.len() });
        }
        let (place, sequence) = match self.newest().map_err(NotWritten::Flash)? {
            None => {
                self.erase(Place::Second)?;
                (Place::First, 1)
            }
            Some((place, header)) => {
                let right = self.file(place, header, &mut [0; FILE_BYTES]).map_err(NotWritten::Flash)?.is_some();
                // A damaged slot is written again: the copy of its header in the other one says that it is damaged.
                (if right { place.other() } else { place }, header.sequence.wrapping_add(1))
            }
        };
        // Erased even where it looks blank: a power cut during an erase leaves bits that are not reliable.
        self.erase(place)?;
        let start = self.start(place);
        for (page, at) in file.chunks(PAGE).zip((start.saturating_add(FILE_AT)..).step_by(PAGE)) {
            self.write(at, page)?;
        }
        let header = Header::of(sequence, file).to_bytes();
        self.write(start, &header)?;
        let copy = self.start(place.other()).saturating_add(COPY_AT);
        // A page is written once after an erase: where a bit of it has changed, the file is stored without a copy.
        let mut page = [0; PAGE];
        self.flash.read(copy, &mut page).map_err(NotWritten::Flash)?;
        if page == [u8::MAX; PAGE] {
            self.write(copy, &header)?;
        }
        Ok(())
    }

    /// The flash, when the slots are no longer needed.
    pub fn release(self) -> F {
        self.flash
    }

    /// Writes a page or less, and reads it back.
    fn write(&mut self, at: u32, bytes: &[u8]) -> Result<(), NotWritten<F::Error>> {
        let (mut page, mut back) = ([u8::MAX; PAGE], [0; PAGE]);
        for (to, from) in page.iter_mut().zip(bytes) {
            *to = *from;
        }
        self.flash.write(at, &page).map_err(NotWritten::Flash)?;
        self.flash.read(at, &mut back).map_err(NotWritten::Flash)?;
        if back == page { Ok(()) } else { Err(NotWritten::Worn) }
    }

    fn erase(&mut self, place: Place) -> Result<(), NotWritten<F::Error>> {
        let start = self.start(place);
        self.flash.erase(start, start.saturating_add(block::<F>())).map_err(NotWritten::Flash)
    }

    /// The slot that was written last, with its header or the copy of it, whether or not the flash has kept its file.
    fn newest(&mut self) -> Result<Option<(Place, Header)>, F::Error> {
        let mut newest: Option<(Place, Header)> = None;
        for place in [Place::First, Place::Second] {
            for at in [self.start(place), self.start(place.other()).saturating_add(COPY_AT)] {
                if let Some(header) = Header::from_bytes(self.read_header(at)?)
                    && newest.is_none_or(|(_, other)| header.is_after(&other))
                {
                    newest = Some((place, header));
                }
            }
        }
        Ok(newest)
    }

    fn read_header(&mut self, at: u32) -> Result<[u8; HEADER_BYTES], F::Error> {
        let mut bytes = [0; HEADER_BYTES];
        self.flash.read(at, &mut bytes)?;
        Ok(bytes)
    }

    /// The file with this header; `None` where the flash has not kept it.
    fn file<'a>(
        &mut self,
        place: Place,
        header: Header,
        room: &'a mut [u8; FILE_BYTES],
    ) -> Result<Option<&'a [u8]>, F::Error> {
        self.flash.read(self.start(place).saturating_add(FILE_AT), room)?;
        let file = usize::try_from(header.length).ok().and_then(|length| room.get(..length));
        Ok(file.filter(|file| crc(file) == header.crc))
    }

    fn start(&self, place: Place) -> u32 {
        match place {
            Place::First => self.first,
            Place::Second => self.first.saturating_add(block::<F>()),
        }
    }
}

/// One of the two slots.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    First,
    Second,
}

impl Place {
    const fn other(self) -> Self {
        match self {
            Self::First => Self::Second,
            Self::Second => Self::First,
        }
    }
}

fn block<F: NorFlash>() -> u32 {
    u32::try_from(F::ERASE_SIZE).unwrap_or(u32::MAX)
}
