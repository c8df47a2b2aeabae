//! Tests rates and tails against published values and formulas.

use handback_host_tests::with_run;

use crate::tune::rate::{Noise, tail, tail_inverse};

const WHITE: [f64; 3] = [0.0; 3];

/// Noise with a standard deviation of 1, so that thresholds are in standard deviations.
fn noise(correlation: [f64; 3]) -> Noise {
    Noise { deviation: 1.0, correlation }
}

/// Noise behind an ideal low-pass of `band` Hz, seen `rate` times a second.
fn low_pass(band: f64, rate: f64) -> Noise {
    noise([1.0, 2.0, 3.0].map(|frames| {
        let phase = std::f64::consts::TAU * band * frames / rate;
        phase.sin() / phase
    }))
}

/// Given the published tail of the normal distribution, when it is computed, then it is the same.
#[test]
fn the_published_normal_tail_is_computed() {
    // M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions (1964), Table 26.1: the digits that it prints.
    let published = [0.158_655, 0.022_750_1, 1.349_90e-3, 3.167_12e-5, 2.866_52e-7, 9.865_88e-10];
    for (z, published) in (1..).zip(published) {
        let z = f64::from(z);
        assert!((tail(z) / published - 1.0).abs() < 5e-6, "Q({z})");
        assert!((tail_inverse(published) - z).abs() < 5e-6, "{z}");
        // One frame beyond, on either side.
        let both = noise(WHITE).beyond(z, 0.0, 1);
        assert!((both / (2.0 * published) - 1.0).abs() < 1e-5, "{both}");
    }
}

/// Given any distance, when its tail is computed, then two reference libraries agree, and the inverse gives the
/// distance back. `tail` is by `libm`; over the whole range of a normal number it is compared with `statrs`, whose own
/// error is in the tenth digit.
#[test]
fn two_libraries_agree_on_the_tail_and_its_inverse() {
    for hundredths in -800..=3700 {
        let z = f64::from(hundredths) / 100.0;
        let other = 0.5 * statrs::function::erf::erfc(z / std::f64::consts::SQRT_2);
        assert!((tail(z) / other - 1.0).abs() < 2e-10, "{z}: {} for {other}", tail(z));
        if (-5.0..37.0).contains(&z) {
            assert!((tail_inverse(tail(z)) - z).abs() < 1e-8, "{z}: {}", tail_inverse(tail(z)));
        }
    }
}

/// Given slow noise seen often, when it crosses a threshold, then the rate is that of Rice's formula.
#[test]
fn slow_noise_crosses_as_often_as_rice_says() {
    // S. O. Rice, Mathematical analysis of random noise, Bell System Technical Journal 23 (1944) and 24 (1945), Part
    // III (the section from memory): an ideal low-pass of f Hz crosses u upwards f / sqrt 3 * exp(-u^2 / 2 sigma^2)
    // times a second. Only the formula is published; it gives 1.95340 at 2 sigma of 25 Hz, 4.84199e-3 at 4 sigma.
    let rice = |z: f64| 25.0 / 3.0_f64.sqrt() * (-0.5 * z * z).exp();
    assert!((rice(2.0) - 1.953_40).abs() < 5e-6 && (rice(4.0) - 4.841_99e-3).abs() < 5e-9);
    for deviations in [2.0, 4.0] {
        let rate = 25.0 * 400.0; // at this rate hardly a crossing is missed
        let crossings = low_pass(25.0, rate).per_frame(deviations, 0.0, 1) * rate;
        println!("{deviations}: {crossings}");
        assert!((crossings / (2.0 * rice(deviations)) - 1.0).abs() < 0.01, "{crossings} a second either side");
    }
}

/// Given independent frames, when a row is awaited, then the mean wait is that of Feller's formula.
#[test]
fn the_wait_for_a_row_is_that_of_fellers_formula() {
    // W. Feller, An Introduction to Probability Theory and Its Applications, vol. 1, XIII.7: the mean wait for a row
    // of n is (1 - p^n) / ((1 - p) p^n) frames; after it, one waits for the row to end, and for the next one. The
    // formula is published; 6, 14, 42 and 11120.94 frames are what it gives.
    let wait = |p: f64, n: i32| (1.0 - p.powi(n)) / ((1.0 - p) * p.powi(n));
    for (p, n, by_formula) in [(0.5, 2, 6.0), (0.5, 3, 14.0), (1.0 / 6.0, 2, 42.0), (0.045_500_3, 3, 11_120.94)] {
        assert!((wait(p, n) / by_formula - 1.0).abs() < 1e-5);
        let at = tail_inverse(p / 2.0);
        let confirm = u8::try_from(n).expect("small");
        let between = 1.0 / noise(WHITE).per_frame(at, 0.0, confirm);
        let expected = by_formula + 1.0 / (1.0 - p);
        println!("{p} {n}: {between} for {expected}");
        assert!((between / expected - 1.0).abs() < 2e-3, "{p}, {n}: {between} for {expected}");
    }
}

/// Given a number of frames, when the probability of a row among them is computed, then it is that of the exact
/// recursion.
#[test]
fn the_chance_of_a_row_is_that_of_the_exact_recursion() {
    // Takeovers that are this rare come as a Poisson process.
    for deviations in [2.0, 3.0] {
        let exact = with_run(2.0 * tail(deviations), 3, 30_000);
        let rate = noise(WHITE).per_frame(deviations, 0.0, 3);
        let ours = 1.0 - (-rate * 30_000.0).exp();
        assert!((ours / exact - 1.0).abs() < 5e-3, "{deviations}: {ours} for {exact}");
    }
}
