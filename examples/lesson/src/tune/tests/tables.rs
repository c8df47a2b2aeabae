//! Compares the tables of the device with the integrals of the host.

use handback::calibrate::deviations;
use seeded::Random;
use statrs::distribution::{ChiSquared, ContinuousCDF, FisherSnedecor};

use crate::tune::rate::Noise;

/// Noise of one deviation. `one` is the correlation of neighbours, `partial` the partial correlation of frames two
/// apart.
fn noise(one: f64, partial: f64) -> Noise {
    let two = one * one + partial * (1.0 - one * one);
    // The correlation of frames three apart is that of an autoregression of two terms; no event below depends on it.
    let three = one * (1.0 - partial) * two + partial * one;
    Noise { deviation: 1.0, correlation: [one, two, three] }
}

/// Deviations by the device's tables.
fn device(power: f64, confirm: u8, noise: &Noise) -> f64 {
    let [one, two, _] = noise.correlation;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most 2^21, and 2^47
    let (fresh, frames) = ([one, two].map(|c| ((1.0 - c) * 1_048_576.0).round() as u32), power.exp2() as u64);
    f64::from(deviations(frames, confirm, fresh)) / 1024.0
}

/// The exact value of what the tables hold, the smaller of two: takeovers without `confirm`, and rows that are long
/// enough.
fn exact(power: f64, confirm: u8, noise: &Noise) -> f64 {
    let smallest = |often: &dyn Fn(f64) -> f64| {
        let (mut fails, mut holds) = (0.0, 9.0);
        for _ in 0..24 {
            let middle = f64::midpoint(fails, holds);
            if often(middle) * power.exp2() > 1.0 { fails = middle } else { holds = middle }
        }
        holds
    };
    let crossings = smallest(&|z| noise.per_frame(z, 0.0, 1));
    if confirm == 1 { crossings } else { crossings.min(smallest(&|z| noise.beyond(z, 0.0, confirm))) }
}

/// The numbers of a constant of the device, from its source.
fn constant(name: &str) -> Vec<f64> {
    let source = include_str!("../../../../../core/src/calibrate/lengths.rs");
    let (_, after) = source.split_once(&format!("const {name}: [u32; 8] = [")).expect("the device has it");
    let (numbers, _) = after.split_once(']').expect("a list");
    numbers.split(", ").map(|number| number.parse().expect("a number")).collect()
}

/// Given the device's bounds for block means, when they are computed, then they are the quantiles that it names, in
/// 256ths, rounded up.
#[test]
fn the_devices_bounds_are_quantiles_of_chi_square_and_f() {
    for (power, bound) in (4..).zip(constant("BOUNDS")) {
        let freedom = f64::from((1 << power) - 1);
        let fifth = ChiSquared::new(freedom).expect("a distribution").inverse_cdf(0.05);
        assert!(((256.0 * freedom / fifth).ceil() - bound).abs() < 0.5, "{freedom}: {bound}");
    }
    for (blocks, rises) in (8..).zip(constant("RISES")) {
        let [longest, below] = [blocks - 1, 8 * blocks - 1].map(f64::from);
        let largest = FisherSnedecor::new(longest, below).expect("a distribution").inverse_cdf(0.99);
        assert!(((256.0 * largest).ceil() - rises).abs() < 0.5, "{blocks}: {rises}, for {}", 256.0 * largest);
    }
}

/// Given any noise that has a spectrum, from white to one that changes within 100 frames, and any return period, when
/// the device looks it up, then the deviations are never too small and little too large.
#[test]
fn any_noise_is_looked_up_on_the_safe_side() {
    let mut rng = Random::stream(11, 0);
    let mut over: [Vec<f64>; 3] = Default::default();
    for confirm in (1..=3).cycle().take(450) {
        let power = rng.between(9.0, 46.0);
        // s, the variable of the columns, is drawn evenly; one in four is slower than the first column.
        let s = if rng.chance(0.25) { rng.between(0.01, 0.0625) } else { rng.between(0.0625, 1.0) };
        let one = (1.0 - s * s) * if rng.chance(0.2) { -1.0 } else { 1.0 };
        let noise = noise(one, rng.between(-0.99, 0.5));
        let exact = exact(power, confirm, &noise);
        let off = device(power, confirm, &noise) / exact - 1.0;
        let [_, two, _] = noise.correlation;
        // For noise that is on the other side after two frames, the interpolation between entries cuts the tails
        // short.
        let least = if confirm == 3 && two < -0.5 { -0.03 } else { 0.0 };
        let most = if confirm == 3 && two < 0.0 { 0.2 } else { 0.05 };
        assert!((least..most).contains(&off), "one in 2^{power:.1}, {confirm} in a row, {noise:?}: {off}");
        over[usize::from(confirm) - 1].push(off);
    }
    for (confirm, over) in (1..).zip(&mut over) {
        over.sort_by(f64::total_cmp);
        let [median, most_of_them] = [over.len() / 2, over.len() * 19 / 20].map(|n| over[n]);
        println!("{confirm} in a row: too large by {median:.4} (median), {most_of_them:.4} (19 of 20)");
        assert!(median < 0.005 && most_of_them < 0.025, "{confirm}: {median}, {most_of_them}");
    }
}
