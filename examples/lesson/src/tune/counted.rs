//! Flies a rest recording through the engine and counts its takeovers, all of which are false.

use handback::{AxisRule, Deflection, Duration, Engine, Frame, Inputs, Instant, Policy, Rest};
use statrs::distribution::{ChiSquared, ContinuousCDF};

/// Counts how often the axis became held (T1) under this rule. A stick that rests where it was left is held at the
/// start (R2); that does not count.
pub(super) fn takeovers(time_us: &[u64], points: &[f64], rule: AxisRule, frame_s: f64) -> u64 {
    let mut count = 0;
    each_takeover(time_us.iter().copied().zip(points.iter().copied()), rule, frame_s, |_| count += 1);
    count
}

/// Calls `taken` with the number of each reading in which the axis becomes held. A reading has a time in microseconds and
/// a position in points.
pub(super) fn each_takeover(
    readings: impl IntoIterator<Item = (u64, f64)>,
    rule: AxisRule,
    frame_s: f64,
    mut taken: impl FnMut(usize),
) {
    // Frames that come slowly are no lost signal here.
    let patience = Duration::from_ticks(micros(frame_s * 3.0).max(250_000));
    let mut policy = Policy::new([rule]);
    (policy.late_step, policy.timeout) = (patience, patience);
    policy.failsafe_after = policy.failsafe_after.max(patience);
    let Ok(policy) = policy.check() else { return };
    let mut engine = Engine::new(&policy);
    let mut held = matches!(rule.rest, Rest::WhereLeft { .. });
    for (number, (time_us, points)) in readings.into_iter().enumerate() {
        let frame = Frame::new([nearest(points)]);
        #[allow(clippy::cast_possible_truncation)] // the engine's clock wraps
        let now = Instant::from_ticks(time_us as u32);
        let outcome = engine.step(now, Inputs { instructor: Some(&frame), ..Inputs::default() });
        let holds = outcome.held.contains(0);
        if holds && !held {
            taken(number);
        }
        held = holds;
    }
}

/// The same rule with other thresholds.
pub(super) fn with(mut rule: AxisRule, engage: Deflection, release: Deflection, confirm: u8) -> AxisRule {
    (rule.engage, rule.release, rule.confirm) = (engage, release, confirm);
    rule
}

/// The 95 % confidence interval of the expected number of events, where `count` were counted (F. Garwood, Fiducial
/// limits for the Poisson distribution, Biometrika 28, 1936).
pub(crate) fn poisson_band(count: u64) -> [f64; 2] {
    let Ok(count) = u32::try_from(count).map(f64::from) else { return [f64::NAN; 2] };
    let half = |freedom: f64, share| ChiSquared::new(freedom).map_or(0.0, |squares| 0.5 * squares.inverse_cdf(share));
    [if count > 0.0 { half(2.0 * count, 0.025) } else { 0.0 }, half(2.0 * count + 2.0, 0.975)]
}

/// The nearest deflection to a number of points; it saturates.
pub(super) fn nearest(points: f64) -> Deflection {
    #[allow(clippy::cast_possible_truncation)] // it saturates
    Deflection::from_bits((points * 163.84).round() as i16)
}

fn micros(seconds: f64) -> u32 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // it saturates
    let micros = (seconds * 1e6).round() as u32;
    micros
}

#[cfg(test)]
mod tests {
    use super::*;

    /// F. Garwood's table as textbooks print it, from memory: 0: 0 to 3.69, 1: 0.0253 to 5.57, 10: 4.80 to 18.39. A
    /// second check: at each limit, the probability of the count or a more extreme one is 1 in 40.
    #[test]
    fn the_poisson_band_is_the_published_one() {
        for (count, low, high) in [(0, 0.0, 3.69), (1, 0.0253, 5.57), (10, 4.80, 18.39)] {
            let band = poisson_band(count);
            assert!((band[0] - low).abs() < 0.005 && (band[1] - high).abs() < 0.005, "{count}: {band:?}");
            let chance = |most: u64, mean: f64| {
                let terms = (0..=most).scan(1.0, |term, n| {
                    let now = *term;
                    #[allow(clippy::cast_precision_loss)] // small
                    {
                        *term *= mean / (n + 1) as f64;
                    }
                    Some(now)
                });
                terms.sum::<f64>() * (-mean).exp()
            };
            assert!((chance(count, band[1]) - 0.025).abs() < 1e-9);
            assert!(count == 0 || (1.0 - chance(count - 1, band[0]) - 0.025).abs() < 1e-9);
        }
    }

    #[test]
    fn the_engine_counts_rows_of_confirm_frames_and_no_shorter_ones() {
        let points = [0.0, 3.0, 0.0, 3.0, 3.0, 0.0, 0.0, -3.0, -3.0, -3.0, -1.5, 0.0];
        let time_us = (0..12).map(|n| n * 20_000).collect::<Vec<_>>();
        let (engage, release) = (Deflection::from_points(2), Deflection::from_points(1));
        let rule = |confirm| with(AxisRule::sprung(), engage, release, confirm);
        let count = |confirm| takeovers(&time_us, &points, rule(confirm), 0.02);
        assert_eq!([1, 2, 3, 4].map(count), [3, 2, 1, 0]);
        // Four frames a second do not count as a lost signal.
        let time_us = (0..12).map(|n| n * 240_000).collect::<Vec<_>>();
        assert_eq!(takeovers(&time_us, &points, rule(3), 0.24), 1);
    }
}
