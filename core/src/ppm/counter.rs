//! Converts a hardware counter of another size or rate to 32-bit microseconds.

use crate::quantity::Instant;

/// A counter of `BITS` bits (8 to 32) that counts `2^SHIFT` ticks in a microsecond (`SHIFT` from 0 to 4), converted to
/// [`Instant`]s. Other values do not compile.
///
/// A 16-bit timer at 1 MHz is a `Counter<16, 0>`, one at 2 MHz a `Counter<16, 1>`. A 32-bit timer at 1 MHz needs no
/// `Counter`. For a rate in between, set the timer's prescaler: a microsecond is a fifth of a point, and finer ticks
/// gain nothing.
///
/// Captures and readings may be slightly out of order: a count is taken as the nearest to the last one, before or after
/// it. A count must therefore come **at least every half turn**, 32 ms for `Counter<16, 0>`; a poll every millisecond
/// is enough. After an unseen turn, a silent line would look like a running one.
///
/// ```
/// use handback::ppm::Counter;
/// let mut counter = Counter::<16, 0>::starting_at(65_000);
/// let start = counter.at(65_000);
/// let later = counter.at(464); // it wrapped
/// assert_eq!(later.as_ticks() - start.as_ticks(), 1_000);
/// assert_eq!(counter.count_at(later), 464);
/// ```
#[derive(Clone, Copy, Debug)]
pub struct Counter<const BITS: u32, const SHIFT: u32> {
    last: u32,
    /// Whole microseconds; `us * 2^SHIFT + part` and the counter agree in their lowest `BITS` bits.
    us: u32,
    /// Ticks of the current microsecond.
    part: u32,
}

impl<const BITS: u32, const SHIFT: u32> Counter<BITS, SHIFT> {
    const PARTS: u32 = (1 << SHIFT) - 1;
    /// Bits that a `u32` has beyond the counter.
    const SPARE: u32 = u32::BITS - BITS;

    /// A counter that stands at `count` now.
    pub const fn starting_at(count: u32) -> Self {
        const { assert!(BITS >= 8 && BITS <= 32, "a counter has 8 to 32 bits") };
        const { assert!(SHIFT <= 4, "a counter counts 1, 2, 4, 8 or 16 ticks in a microsecond") };
        let last = count << Self::SPARE >> Self::SPARE;
        Self { last, us: last >> SHIFT, part: last & Self::PARTS }
    }

    /// The instant of a reading or capture. Bits beyond the counter's are ignored.
    pub const fn at(&mut self, count: u32) -> Instant {
        // Sign-extended: up to half a turn forwards or backwards.
        let moved = (count.wrapping_sub(self.last) << Self::SPARE).cast_signed() >> Self::SPARE;
        self.last = count << Self::SPARE >> Self::SPARE;
        let part = self.part.wrapping_add(moved.cast_unsigned() & Self::PARTS);
        let whole = (moved >> SHIFT).cast_unsigned().wrapping_add(part >> SHIFT);
        self.us = self.us.wrapping_add(whole);
        self.part = part & Self::PARTS;
        Instant::from_ticks(self.us)
    }

    /// The count at this instant, for a compare register.
    pub const fn count_at(&self, instant: Instant) -> u32 {
        instant.as_ticks() << SHIFT << Self::SPARE >> Self::SPARE
    }
}
