//! Reads values from the bytes of an input. When the bytes are used up, every further value is 0.

use handback::{Deflection, Duration};

/// The bytes that are left.
#[derive(Clone, Debug)]
pub(crate) struct Bytes<'a>(&'a [u8]);

impl<'a> Bytes<'a> {
    pub(crate) fn new(bytes: &'a [u8]) -> Self {
        Self(bytes)
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// All bytes that are left.
    pub(crate) fn rest(self) -> &'a [u8] {
        self.0
    }

    pub(crate) fn byte(&mut self) -> u8 {
        let Some((&first, rest)) = self.0.split_first() else { return 0 };
        self.0 = rest;
        first
    }

    pub(crate) fn two(&mut self) -> u16 {
        u16::from_le_bytes([self.byte(), self.byte()])
    }

    pub(crate) fn four(&mut self) -> u32 {
        u32::from_le_bytes([self.byte(), self.byte(), self.byte(), self.byte()])
    }

    /// A number below `count`.
    pub(crate) fn below(&mut self, count: u8) -> u8 {
        self.byte() % count
    }

    pub(crate) fn flag(&mut self) -> bool {
        self.byte() & 1 == 1
    }

    pub(crate) fn deflection(&mut self) -> Deflection {
        Deflection::from_bits(self.two().cast_signed())
    }

    /// A duration: mostly some frames of 10 ms, so that an input can outlast it, but any other too.
    pub(crate) fn duration(&mut self) -> Duration {
        let us = match self.byte() {
            frames @ 0..=63 => u32::from(frames) * 10_000,
            64..=95 => u32::from(self.two()),
            96..=127 => self.four(),
            frames @ 128..=191 => u32::from(frames - 128) * 10_000 + 1,
            us @ 192..=254 => u32::from(us - 192),
            255 => 1 << 31,
        };
        Duration::from_ticks(us)
    }
}
