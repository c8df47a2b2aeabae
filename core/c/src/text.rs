//! Text in a C program's memory: it always ends with a 0 byte, and is cut where the memory ends. It does without
//! `core::fmt`, which costs a microcontroller kilobytes.

/// Bytes that are enough for every text of this library, with its 0 byte.
pub const TEXT_SIZE: usize = 176;

/// A text that is being written.
#[derive(Debug)]
pub struct Text<'a> {
    room: &'a mut [u8],
    len: usize,
}

impl<'a> Text<'a> {
    /// An empty text.
    pub fn new(room: &'a mut [u8]) -> Self {
        room.fill(0);
        Self { room, len: 0 }
    }

    /// Adds words.
    pub fn add(&mut self, words: &str) {
        self.add_bytes(words.as_bytes());
    }

    /// Adds a whole number.
    pub fn add_number(&mut self, number: u16) {
        if number >= 10 {
            self.add_number(number / 10);
        }
        if let Some(digit) = b"0123456789".get(usize::from(number % 10)) {
            self.add_bytes(&[*digit]);
        }
    }

    /// Adds bytes, of which none is 0.
    pub fn add_bytes(&mut self, bytes: &[u8]) {
        for byte in bytes {
            // The last byte stays 0.
            if let Some([place, _, ..]) = self.room.get_mut(self.len..) {
                *place = *byte;
                self.len = self.len.saturating_add(1);
            }
        }
    }
}
