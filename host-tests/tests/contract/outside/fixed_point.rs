//! Deflections in 2^-14 of full travel, against `points * 163.84` in floats (IEEE 754 double precision). No other source.

use handback::{AxisRule, Deflection};
use handback_host_tests::{points, units};

/// Rules: N1, N2
#[test]
fn given_the_default_thresholds_when_they_are_written_in_units_then_they_are_the_nearest_ones() {
    // 2 * 163.84 is 327.68 units and 8 * 163.84 is 1310.72.
    assert_eq!(AxisRule::sprung().engage.to_bits(), 328);
    assert_eq!(AxisRule::unsprung(points(-100)).engage.to_bits(), 1311);
}

/// Rules: N1
#[test]
fn given_every_hundredth_of_a_point_when_it_is_written_in_units_then_it_is_the_nearest_one_in_the_range() {
    for centipoints in -25_000i32..=25_000 {
        let exact = f64::from(centipoints) * 16384.0 / 10_000.0;
        // `f64::round` rounds halves away from zero, as the contract does.
        let nearest = exact.round().clamp(-32768.0, 32767.0);
        let bits = f64::from(Deflection::from_centipoints(centipoints).to_bits());
        assert!((bits - nearest).abs() < f64::EPSILON, "{centipoints}: {bits} for {exact}");
    }
}

/// Rules: N1
#[test]
fn given_the_least_deflection_when_distances_are_taken_from_it_then_they_saturate() {
    // |-2.0| cannot be written: 2^15 units are one more than the range.
    assert_eq!(Deflection::MIN.to_bits(), -32768);
    assert_eq!(units(0).saturating_sub(Deflection::MIN), Deflection::MAX);
    assert_eq!(Deflection::MIN.saturating_sub(Deflection::MAX), Deflection::MIN);
    assert_eq!(Deflection::MIN.to_string(), "-200.00 points");
}
