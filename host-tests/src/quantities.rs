//! Short names for the quantities of a lesson.

use handback::{AxisSet, Deflection, Duration};

/// A deflection in points, hundredths of full nominal travel.
pub const fn points(points: i16) -> Deflection {
    Deflection::from_points(points)
}

/// A deflection in units of its last place.
pub const fn units(units: i16) -> Deflection {
    Deflection::from_bits(units)
}

/// This deflection moved by `by` units; saturates.
pub const fn around(deflection: Deflection, by: i16) -> Deflection {
    Deflection::from_bits(deflection.to_bits().saturating_add(by))
}

/// A duration in milliseconds.
pub const fn ms(milliseconds: u32) -> Duration {
    Duration::from_ticks(milliseconds * 1000)
}

/// A duration in microseconds.
pub const fn us(microseconds: u32) -> Duration {
    Duration::from_ticks(microseconds)
}

/// The set of these axes.
pub const fn axes(list: &[u8]) -> AxisSet {
    AxisSet::of(list)
}
