//! The drift that noise does not explain.

use super::hold::FINE;
use super::noise::Stick;
use crate::tune::advice::Stray;
use crate::tune::rest::AxisRest;

/// Given noise whose means of 512 frames have a standard deviation of 1 point, when the furthest of them is 3 points off,
/// then noise explains it; when it is 5 points off, then 4 are left, as squares of distances add.
#[test]
fn means_within_three_standard_deviations_are_no_drift() {
    let mut stick = Stick::any(500);
    let points: Vec<f64> = (0..6000).map(|_| stick.next()).collect();
    let rest = AxisRest::measure(&points).expect("long enough");
    // Four dependent frames count as one: 512 frames as 128.
    let deviation = 128_f64.sqrt();
    let rest = AxisRest { frames: 6000, independent: 1500.0, deviation, ..rest };
    for (furthest, left) in [(2.0, 0.0), (3.0, 0.0), (5.0, 4.0)] {
        let rest = AxisRest { drift: furthest, ..rest.clone() };
        let offset = Stray::of(&rest, true, 0.0, FINE).offset();
        assert!((offset - left).abs() < 1e-6, "{furthest} points: {offset}");
    }
}
