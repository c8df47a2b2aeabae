//! Both sides of a boundary and the boundary itself, each with what is true there.

use handback::{Deflection, Duration};

use crate::quantities::{around, us};

/// Elapsed times about a duration that grants something: over when elapsed >= d.
pub const fn reached(d: Duration) -> [(Duration, bool); 3] {
    [(us(d.as_ticks() - 1), false), (d, true), (us(d.as_ticks() + 1), true)]
}

/// Elapsed times about a duration that loses something: over when elapsed > d.
pub const fn exceeded(d: Duration) -> [(Duration, bool); 3] {
    [(us(d.as_ticks() - 1), false), (d, false), (us(d.as_ticks() + 1), true)]
}

/// Deflections about `rest`, on both sides of it: is it further than `threshold` from `rest`?
pub fn beyond(rest: Deflection, threshold: Deflection) -> [(Deflection, bool); 6] {
    let at = |side: i16, by: i16| around(rest, side * (threshold.to_bits() + by));
    [
        (at(1, -1), false),
        (at(1, 0), false),
        (at(1, 1), true),
        (at(-1, -1), false),
        (at(-1, 0), false),
        (at(-1, 1), true),
    ]
}

/// The same deflections: is it within `threshold` of `rest`?
pub fn within(rest: Deflection, threshold: Deflection) -> [(Deflection, bool); 6] {
    beyond(rest, threshold).map(|(at, beyond)| (at, !beyond))
}
