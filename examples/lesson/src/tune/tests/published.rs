//! Rates and tails against published values.

use crate::tune::rate::{Noise, tail, tail_inverse};

const WHITE: [f64; 3] = [0.0; 3];

/// Noise of one deviation, so that thresholds are deviations.
fn noise(correlation: [f64; 3]) -> Noise {
    Noise { deviation: 1.0, correlation }
}

/// Noise that an ideal low-pass of so many Hz leaves, seen so many times a second.
fn low_pass(band: f64, rate: f64) -> Noise {
    noise([1.0, 2.0, 3.0].map(|frames| {
        let phase = std::f64::consts::TAU * band * frames / rate;
        phase.sin() / phase
    }))
}

#[test]
fn given_the_published_normal_tail_when_it_is_computed_then_it_is_the_same() {
    // Abramowitz and Stegun, Handbook of Mathematical Functions, Table 26.1.
    let published = [0.158_655, 0.022_750_1, 1.349_90e-3, 3.167_12e-5, 2.866_52e-7, 9.865_88e-10];
    for (z, published) in (1..).zip(published) {
        let z = f64::from(z);
        assert!((tail(z) / published - 1.0).abs() < 5e-6, "Q({z})");
        assert!((tail_inverse(published) - z).abs() < 5e-6, "{z}");
        // One frame beyond on either side.
        let both = noise(WHITE).beyond(z, 0.0, 1);
        assert!((both / (2.0 * published) - 1.0).abs() < 1e-5, "{both}");
    }
}

/// `tail` is by `libm`; over the whole range of a normal number it is held to the other reference library, `statrs`, whose
/// own error is in the tenth digit.
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
    // S. O. Rice, Mathematical analysis of random noise, Bell System Technical Journal 23 (1944) and 24 (1945), Part III
    // (the section from memory): an ideal low-pass of f Hz crosses u upwards f / sqrt 3 * exp(-u^2 / 2 sigma^2) times a
    // second: of 25 Hz, 1.95340 times at 2 sigma and 4.84199e-3 times at 4 sigma.
    for (deviations, published) in [(2.0, 1.953_40), (4.0, 4.841_99e-3)] {
        let rate = 25.0 * 400.0; // seen so often, next to nothing is missed
        let crossings = low_pass(25.0, rate).per_frame(deviations, 0.0, 1) * rate;
        println!("{deviations}: {crossings}");
        assert!((crossings / (2.0 * published) - 1.0).abs() < 0.01, "{crossings} a second either side");
    }
}

#[test]
fn given_independent_frames_when_a_row_is_waited_for_then_it_comes_as_published() {
    // W. Feller, An Introduction to Probability Theory and Its Applications, vol. 1, XIII.7: the mean wait for a row of n
    // is (1 - p^n) / ((1 - p) p^n) frames; after it, one waits for the row to end, and for the next one.
    let wait = |p: f64, n: i32| (1.0 - p.powi(n)) / ((1.0 - p) * p.powi(n));
    for (p, n, published) in [(0.5, 2, 6.0), (0.5, 3, 14.0), (1.0 / 6.0, 2, 42.0), (0.045_500_3, 3, 11_120.94)] {
        assert!((wait(p, n) / published - 1.0).abs() < 1e-5);
        let at = tail_inverse(p / 2.0);
        let confirm = u8::try_from(n).expect("small");
        let between = 1.0 / noise(WHITE).per_frame(at, 0.0, confirm);
        let expected = published + 1.0 / (1.0 - p);
        println!("{p} {n}: {between} for {expected}");
        assert!((between / expected - 1.0).abs() < 2e-3, "{p}, {n}: {between} for {expected}");
    }
}

/// The third row of that simulation, 0.0065 a second at 50 frames a second, is not held here: of an ideal low-pass of
/// 25 Hz, frames a 50th of a second apart have no correlation (the zeros of sin x / x), so that independent frames are
/// right, and they give 0.0045.
#[test]
fn given_noise_that_is_not_independent_when_three_frames_confirm_then_rows_come_as_often_as_was_simulated() {
    // Monte Carlo, recomputed for this project: noise band-limited to 25 Hz is beyond two deviations for three frames in
    // a row so many times a second; independent frames would be so many times.
    for (rate, simulated, independent) in [(100.0, 0.0905, 0.0090), (200.0, 1.58, 0.018)] {
        let events = low_pass(25.0, rate).per_frame(2.0, 0.0, 3) * rate;
        let naive = noise(WHITE).per_frame(2.0, 0.0, 3) * rate;
        println!("{rate} frames a second: {events} rows a second for {simulated}, {naive} for {independent}");
        assert!((events / simulated - 1.0).abs() < 0.05, "{rate}: {events} for {simulated}");
        assert!((naive / independent - 1.0).abs() < 0.005, "{rate}: {naive} for {independent}");
    }
    let at_50 = low_pass(25.0, 50.0).per_frame(2.0, 0.0, 3) * 50.0;
    assert!((at_50 / 0.0045 - 1.0).abs() < 0.005, "{at_50}");
}

#[test]
fn given_few_frames_when_a_row_is_among_them_then_the_exact_recursion_says_how_probably() {
    // Of ten fair tosses a row of 3 is in 520 of 1024, of 2 in 880 (OEIS A050227); of 30,000 frames (recomputed by the
    // same recursion) three beyond three deviations 5.8855e-4, beyond two .93266, and five beyond two 5.5680e-3.
    let share = |p: f64, row: usize, frames: u32| {
        let mut rows = vec![0.0; row]; // how probable it is to have had none, by the length of the row at the end
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
    for (deviations, row, published) in [(3.0, 3, 5.8855e-4), (2.0, 3, 0.93266), (2.0, 5, 5.5680e-3)] {
        let exact = share(2.0 * tail(deviations), row, 30_000);
        assert!((exact / published - 1.0).abs() < 1e-4, "{deviations}, {row}: {exact}");
    }
    // Takeovers a frame that are so few come as a Poisson process.
    for deviations in [2.0, 3.0] {
        let exact = share(2.0 * tail(deviations), 3, 30_000);
        let rate = noise(WHITE).per_frame(deviations, 0.0, 3);
        let ours = 1.0 - (-rate * 30_000.0).exp();
        assert!((ours / exact - 1.0).abs() < 5e-3, "{deviations}: {ours} for {exact}");
    }
}
