//! Tests rates and tails against published values and formulas.

use crate::tune::rate::{Noise, tail, tail_inverse};

const WHITE: [f64; 3] = [0.0; 3];

/// Noise with a standard deviation of 1, so that thresholds are in standard deviations.
fn noise(correlation: [f64; 3]) -> Noise {
    Noise { deviation: 1.0, correlation }
}

/// Noise behind an ideal low-pass of `band` Hz, sampled `rate` times a second.
fn low_pass(band: f64, rate: f64) -> Noise {
    noise([1.0, 2.0, 3.0].map(|frames| {
        let phase = std::f64::consts::TAU * band * frames / rate;
        phase.sin() / phase
    }))
}

#[test]
fn given_the_published_normal_tail_when_it_is_computed_then_it_is_the_same() {
    // M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions (1964), Table 26.1, with the printed digits.
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

/// `tail` uses `libm`. It is compared with `statrs`, whose own error is in the tenth digit, over the whole range in
/// which a tail is a normal floating-point number.
#[test]
fn given_any_distance_when_its_tail_is_computed_then_two_reference_libraries_agree_and_it_can_be_turned_round() {
    for hundredths in -800..=3700 {
        let z = f64::from(hundredths) / 100.0;
        let other = 0.5 * statrs::function::erf::erfc(z / std::f64::consts::SQRT_2);
        assert!((tail(z) / other - 1.0).abs() < 2e-10, "{z}: {} for {other}", tail(z));
        if (-5.0..37.0).contains(&z) {
            assert!((tail_inverse(tail(z)) - z).abs() < 1e-8, "{z}: {}", tail_inverse(tail(z)));
        }
    }
}

#[test]
fn given_slow_noise_seen_often_when_it_crosses_a_threshold_then_rice_says_how_often() {
    // S. O. Rice, Mathematical analysis of random noise, Bell System Technical Journal 23 (1944) and 24 (1945), Part
    // III (the section from memory): noise behind an ideal low-pass of f Hz crosses u upwards f / sqrt 3 * exp(-u^2 / 2
    // sigma^2) times a second. Only the formula is published. At 25 Hz it gives 1.95340 at 2 sigma and 4.84199e-3 at 4
    // sigma.
    let rice = |z: f64| 25.0 / 3.0_f64.sqrt() * (-0.5 * z * z).exp();
    assert!((rice(2.0) - 1.953_40).abs() < 5e-6 && (rice(4.0) - 4.841_99e-3).abs() < 5e-9);
    for deviations in [2.0, 4.0] {
        let rate = 25.0 * 400.0; // sampled this often, almost no crossing is missed
        let crossings = low_pass(25.0, rate).per_frame(deviations, 0.0, 1) * rate;
        println!("{deviations}: {crossings}");
        assert!((crossings / (2.0 * rice(deviations)) - 1.0).abs() < 0.01, "{crossings} a second either side");
    }
}

#[test]
fn given_independent_frames_when_a_row_is_waited_for_then_fellers_formula_says_when() {
    // W. Feller, An Introduction to Probability Theory and Its Applications, vol. 1, XIII.7: the mean wait for a row of
    // n is (1 - p^n) / ((1 - p) p^n) frames. The time between two rows is this wait plus the time until the first row
    // ends. The formula is published; the figures 6, 14, 42 and 11120.94 are computed from it.
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

#[test]
fn given_few_frames_when_a_row_is_among_them_then_the_exact_recursion_says_how_probably() {
    // Of the 1024 results of ten fair tosses, 520 have a row of 3 (OEIS A050227), and 880 have a row of 2 (2^10 - F(12)
    // = 1024 - 144, Fibonacci). The recursion below is tested on these two and then used; nothing else here is
    // published.
    let share = |p: f64, row: usize, frames: u32| {
        let mut rows = vec![0.0; row]; // probability of no row so far, by the length of the present row
        rows[0] = 1.0;
        for _ in 0..frames {
            let broken = rows.iter().sum::<f64>() * (1.0 - p);
            rows.rotate_right(1);
            for row in &mut rows {
                *row *= p;
            }
            rows[0] = broken;
        }
        1.0 - rows.iter().sum::<f64>()
    };
    assert!((share(0.5, 3, 10) - 520.0 / 1024.0).abs() < 1e-12);
    assert!((share(0.5, 2, 10) - 880.0 / 1024.0).abs() < 1e-12);
    // Takeovers this rare are a Poisson process.
    for deviations in [2.0, 3.0] {
        let exact = share(2.0 * tail(deviations), 3, 30_000);
        let rate = noise(WHITE).per_frame(deviations, 0.0, 3);
        let ours = 1.0 - (-rate * 30_000.0).exp();
        assert!((ours / exact - 1.0).abs() < 5e-3, "{deviations}: {ours} for {exact}");
    }
}
