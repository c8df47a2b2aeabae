//! Short names for the quantities of a lesson.

use handback::{AxisSet, Deflection, Duration};

/// So many points, hundredths of full nominal travel.
pub const fn points(points: i16) -> Deflection {
    Deflection::from_points(points)
}

/// So many units, the last place of a deflection.
pub const fn units(units: i16) -> Deflection {
    Deflection::from_bits(units)
}

/// This deflection moved by so many units; stops at the ends of the range.
pub const fn around(deflection: Deflection, by: i16) -> Deflection {
    Deflection::from_bits(deflection.to_bits().saturating_add(by))
}

/// So many milliseconds.
pub const fn ms(milliseconds: u32) -> Duration {
    Duration::from_ticks(milliseconds * 1000)
}

/// So many microseconds.
pub const fn us(microseconds: u32) -> Duration {
    Duration::from_ticks(microseconds)
}

/// The set of these axes.
pub const fn axes(list: &[u8]) -> AxisSet {
    AxisSet::of(list)
}
