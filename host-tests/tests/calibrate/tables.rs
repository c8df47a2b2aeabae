//! The device's tables against the host's calculation, and both against published values.

use handback::calibrate::deviations;
use handback_host_tests::with_run;

use crate::normal::{first_beyond, in_a_row, solve, tail};

/// 1.0 in the unit in which a device counts the new part of a frame.
const WHOLE: u32 = 1 << 20;

/// White noise: every frame is new.
const WHITE: [u32; 2] = [WHOLE; 2];

/// Deviations by the device's tables, for noise whose frames one and two apart are correlated by `alike`.
fn device(frames: f64, confirm: u8, alike: [f64; 2]) -> f64 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // small and positive
    let (frames, fresh) = (frames.round() as u64, alike.map(|c| ((1.0 - c) * f64::from(WHOLE)).round() as u32));
    f64::from(deviations(frames, confirm, fresh)) / 1024.0
}

/// The correlation of two frames `apart` seconds apart of noise that is band-limited to `band` Hz.
fn band_limited(band: f64, apart: f64) -> f64 {
    let phase = std::f64::consts::TAU * band * apart;
    phase.sin() / phase
}

/// Given the published tail of the normal distribution, when the host computes it, then it is the same.
#[test]
fn the_host_computes_the_published_normal_tail() {
    // M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions (1964), Table 26.1: the digits that it prints.
    let published = [0.158_655, 0.022_750_1, 1.349_90e-3, 3.167_12e-5, 2.866_52e-7, 9.865_88e-10];
    for (z, published) in (1..).zip(published) {
        let relative = tail(f64::from(z)) / published - 1.0;
        assert!(relative.abs() < 5e-6, "Q({z}): {relative}");
    }
}

/// Given white noise and any return period, when the device looks up the deviations, then they are never too small and
/// less than 1.5 % too large. The probability of a row of independent frames is that of one frame to the power of
/// their number.
#[test]
fn white_noise_is_looked_up_0_to_1_5_percent_large() {
    let mut most = [0.0_f64; 3];
    for eighths in 64..=376 {
        let frames = (f64::from(eighths) / 8.0).exp2().round();
        for confirm in 1..=3_u8 {
            // With one frame, the event ends: the next frame is within the threshold.
            let share = |z: f64| {
                if confirm == 1 { 2.0 * tail(z) * (1.0 - 2.0 * tail(z)) } else { (2.0 * tail(z)).powi(confirm.into()) }
            };
            let over = device(frames, confirm, [0.0; 2]) / solve(1.0 / frames, share) - 1.0;
            assert!((0.0..0.015).contains(&over), "one in {frames}, {confirm} in a row: {over}");
            let most = &mut most[usize::from(confirm) - 1];
            *most = most.max(over);
        }
    }
    println!("too large by at most {most:.4?}");
}

/// Given two correlated frames, when the device looks up two in a row, then the deviations are less than 2.5 % too
/// large and, up to a correlation of 0.5, never too small. The reference is an integral of its own.
#[test]
fn two_correlated_frames_are_looked_up_within_2_5_percent() {
    for power in [9.0_f64, 14.0, 23.0, 31.0, 42.0] {
        for alike in [0.03, 0.125, 0.31, 0.44, 0.57, 0.7] {
            let exact = solve((-power).exp2(), |z| in_a_row(z, 2, alike));
            for side in [alike, -alike] {
                let over = device(power.exp2(), 2, [side, alike * alike]) / exact - 1.0;
                // Where noise is slow, crossings are rarer than rows.
                let least = if alike > 0.5 { -0.03 } else { 0.0 };
                assert!((least..0.025).contains(&over), "one in 2^{power}, {side} alike: {over}");
            }
        }
    }
}

/// Given a `confirm` of 4 or more, or of 0, when it is looked up, then it counts as 3, or as 1.
#[test]
fn four_frames_or_none_count_as_three_or_one() {
    assert_eq!(deviations(1 << 26, 4, WHITE), deviations(1 << 26, 3, WHITE));
    assert_eq!(deviations(1 << 26, 255, [9, 99]), deviations(1 << 26, 3, [9, 99]));
    assert_eq!(deviations(1 << 26, 0, WHITE), deviations(1 << 26, 1, WHITE));
    assert_eq!(deviations(0, 1, WHITE), deviations(200, 1, WHITE));
    for fresh in [[0; 2], [0, u32::MAX], [u32::MAX, 0], [u32::MAX; 2]] {
        assert!((1..=3).all(|confirm| deviations(u64::MAX, confirm, fresh) > 0), "{fresh:?}");
    }
}

/// Given slow noise, which crosses a threshold less often than it is beyond it, when the device looks up its
/// crossings, then the deviations are never too small and less than 2 % too large.
#[test]
fn crossings_of_slow_noise_are_looked_up_within_2_percent() {
    let mut most = 0.0_f64;
    for power in [12, 16, 20, 26, 32, 40] {
        let frames = f64::from(power).exp2();
        for fresh in [1.0_f64, 0.5, 0.25, 0.125, 0.06, 0.03, 0.01, 0.003, 0.001] {
            let crossing = solve(1.0 / frames, |z| first_beyond(z, fresh));
            let looked_up = device(frames, 1, [1.0 - fresh; 2]);
            let over = looked_up / crossing - 1.0;
            assert!((0.0..0.02).contains(&over), "one in {frames}, {fresh} fresh: {over}");
            most = most.max(over);
        }
    }
    println!("too large by at most {most:.4} for crossings");
}

/// Given band-limited noise, when Rice's formula counts its crossings, then the device allows no more: the deviations
/// are never too small and less than 10 % too large.
#[test]
fn band_limited_noise_crosses_no_more_than_rice_says() {
    // S. O. Rice, Mathematical analysis of random noise, Bell System Technical Journal 23 (1944) and 24 (1945), Part
    // III (the section from memory): an ideal low-pass of f Hz crosses u upwards f / sqrt 3 * exp(-u^2 / 2 sigma^2)
    // times a second. Only the formula is published; it gives 4.84199e-3 at 4 sigma of 25 Hz, 1.95340 at 2 sigma.
    let rice = |band: f64, z: f64| band / 3.0_f64.sqrt() * (-0.5 * z * z).exp();
    assert!((rice(25.0, 4.0) / 4.841_99e-3 - 1.0).abs() < 1e-5);
    assert!((rice(25.0, 2.0) / 1.953_40 - 1.0).abs() < 1e-5);
    for rate in [50.0, 200.0] {
        for band in [0.3, 1.0, 3.0] {
            for apart in [1000.0, 3600.0, 360_000.0] {
                let alike = [1.0, 2.0].map(|frames| band_limited(band, frames / rate));
                let z = device(apart * rate, 1, alike);
                let exact = solve(1.0 / apart, |z| 2.0 * rice(band, z));
                let over = z / exact - 1.0;
                assert!((0.0..0.10).contains(&over), "{band} Hz at {rate} frames/s, {apart} s apart: {z} for {exact}");
            }
        }
    }
}

/// Given runs of independent frames, when their published mean waits are looked up, then the device is on the safe
/// side.
#[test]
fn published_waits_for_runs_are_on_the_safe_side() {
    // W. Feller, An Introduction to Probability Theory and Its Applications, vol. 1, XIII.7: the mean wait for a run
    // of n is (1 - p^n) / ((1 - p) p^n). The formula is published; the frames are what it gives.
    let wait = |p: f64, n: i32| (1.0 - p.powi(n)) / ((1.0 - p) * p.powi(n));
    assert!((wait(0.5, 2) - 6.0).abs() < 1e-12 && (wait(0.5, 3) - 14.0).abs() < 1e-12);
    assert!((wait(1.0 / 6.0, 2) - 42.0).abs() < 1e-9);
    assert!((wait(0.045_500_3, 3) - 11_120.94).abs() < 0.5, "two deviations, either side");
    // Two deviations give a wait of 11120.94 frames.
    let z = device(11_120.94, 3, [0.0; 2]);
    assert!((2.0..2.06).contains(&z), "{z}");
    // 30,000 frames, three deviations, three in a row: by the recursion, 5.8855e-4.
    let p = 2.0 * tail(3.0);
    let exact = with_run(p, 3, 30_000);
    let z = device(30_000.0 / exact, 3, [0.0; 2]);
    assert!((3.0..3.06).contains(&z), "{z}");
}

/// Given noise whose frames are correlated, when the device knows the correlation, then the threshold is larger than
/// that of runs of independent frames.
#[test]
fn correlated_noise_gets_a_larger_threshold_than_runs_say() {
    // Monte Carlo of this project, examples/lesson/src/tune/tests/band_limited.rs: noise band-limited to 25 Hz and
    // seen 100 times a second is beyond two deviations for three frames in a row 0.09243 +- 0.00006 times a second.
    let (rate, events) = (100.0, 0.092_43);
    let alike = [1.0, 2.0].map(|frames| band_limited(25.0, frames / rate));
    let z = device(rate / events, 3, alike);
    let naive = solve(events / rate, |z| in_a_row(z, 3, 0.0));
    println!("two deviations hold it, {z:.2} is looked up, runs of independent frames say {naive:.2}");
    assert!((2.0..2.1).contains(&z) && naive < 1.7, "{z}, {naive}");
}
