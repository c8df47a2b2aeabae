//! Deflections in 2^-14 of full travel, compared with `points * 163.84` in floats (IEEE 754 double precision). No other
//! source.

use handback::{AxisRule, Deflection};
use handback_host_tests::{points, units};

/// Given the default thresholds, when they are written in units, then they are the nearest units.
/// Rules: N1, N2
#[test]
fn the_default_thresholds_are_the_nearest_units() {
    // 2 * 163.84 is 327.68 units and 8 * 163.84 is 1310.72.
    assert_eq!(AxisRule::sprung().engage.to_bits(), 328);
    assert_eq!(AxisRule::unsprung(points(-100)).engage.to_bits(), 1311);
}

/// Given every hundredth of a point, when it is written in units, then it is the nearest unit in the range.
/// Rules: N1
#[test]
fn every_hundredth_of_a_point_is_the_nearest_unit() {
    for centipoints in -25_000i32..=25_000 {
        let exact = f64::from(centipoints) * 16384.0 / 10_000.0;
        // `f64::round` rounds halves away from zero, as the contract does.
        let nearest = exact.round().clamp(-32768.0, 32767.0);
        let bits = f64::from(Deflection::from_centipoints(centipoints).to_bits());
        assert!((bits - nearest).abs() < f64::EPSILON, "{centipoints}: {bits} for {exact}");
    }
}

/// Given the least deflection, when distances are taken from it, then they saturate.
/// Rules: N1
#[test]
fn distances_from_the_least_deflection_saturate() {
    // |-2.0| cannot be written: 2^15 units are one more than the range.
    assert_eq!(Deflection::MIN.to_bits(), -32768);
    assert_eq!(units(0).saturating_sub(Deflection::MIN), Deflection::MAX);
    assert_eq!(Deflection::MIN.saturating_sub(Deflection::MAX), Deflection::MIN);
    assert_eq!(Deflection::MIN.to_string(), "-200.00 points");
}
