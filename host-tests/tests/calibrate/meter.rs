//! The measurement of a rest, against exact fractions and floats.

use handback::calibrate::{RestMeter, RestNoise};
use handback_host_tests::Random;

use crate::gimbal::{Colour, Gimbal, whole};

fn measured(readings: &[u16]) -> RestNoise {
    let mut meter = RestMeter::new();
    for &reading in readings {
        meter.take(reading);
    }
    meter.noise().expect("two blocks or more")
}

/// Rests of any spread about any centre, some with drift, and the widest that a rest can be.
fn rests() -> impl Iterator<Item = Vec<u16>> {
    let mut random = Random::new(7);
    (0..300).map(move |n| {
        let blocks = usize::from(whole(random.between(3.0, 60.0)));
        let middle = random.between(4100.0, 61_000.0);
        let half = if n % 10 == 0 { 2040.0 } else { random.between(0.0, 2040.0) };
        let slope = random.between(-0.01, 0.01) * f64::from(n % 3);
        let jumps = n % 7 == 0;
        let mut drifted = 0.0;
        (0..64 * blocks)
            .map(|at| {
                let way = if jumps { [-half, half][at % 2] } else { random.between(-half, half) };
                drifted += slope;
                whole(middle + way + drifted)
            })
            .collect()
    })
}

/// Given any rest, when its variance and its mean are computed in exact fractions, then the meter has them rounded
/// down to a 256th.
#[test]
fn the_variance_is_the_exact_fraction_rounded_down() {
    for readings in rests() {
        let noise = measured(&readings);
        let counted = &readings[64..];
        let n = counted.len() as i128;
        let sum: i128 = counted.iter().map(|&x| i128::from(x)).sum();
        let squares: i128 = counted.iter().map(|&x| i128::from(x) * i128::from(x)).sum();
        // In 256ths: n times the sum of squares less the squared sum, over n (n - 1). The mean is in 256ths, too.
        assert_eq!(i128::from(noise.variance), (n * squares - sum * sum) * 256 / (n * (n - 1)));
        assert_eq!(i128::from(noise.mean), sum * 256 / n);
        assert_eq!(i128::from(noise.centre), (sum * 512 / n + 256) / 512);
        assert_eq!(i128::from(noise.frames), n);
    }
}

/// Given any rest, when floats compute a running mean and variance, then the meter is within a 256th of a step and of
/// a squared step, whatever the spread and the length. The rounding error of the float itself is allowed for.
#[test]
fn mean_and_variance_are_within_a_256th_of_floats() {
    let mut most = 0.0_f64;
    for readings in rests() {
        let noise = measured(&readings);
        // B. P. Welford, Note on a method for calculating corrected sums of squares and products, Technometrics 4
        // (1962).
        let (mut mean, mut sum, mut n) = (0.0, 0.0, 0.0);
        for &reading in &readings[64..] {
            n += 1.0;
            let off = f64::from(reading) - mean;
            mean += off / n;
            sum += off * (f64::from(reading) - mean);
        }
        let variance = sum / (n - 1.0);
        let (lost, mean_lost) = (variance - f64::from(noise.variance) / 256.0, mean - f64::from(noise.mean) / 256.0);
        let float = 1e-9 * variance;
        assert!((-float..1.0 / 256.0 + float).contains(&lost), "{variance}: {lost}");
        assert!((-1e-6..1.0 / 256.0 + 1e-6).contains(&mean_lost), "{mean}: {mean_lost}");
        most = most.max(lost);
    }
    println!("the variance is too small by at most {most:.6} of a squared step");
}

/// Given a rest of the greatest length that the meter counts, when it goes on, then further frames change nothing.
#[test]
fn frames_past_the_longest_rest_are_ignored() {
    let mut meter = RestMeter::new();
    // The widest spread that still is a rest, for as long as a meter counts.
    (0..64 + 131_072).for_each(|n| meter.take([20_000 - 2047, 20_000 + 2047][n % 2]));
    let longest = meter.noise().expect("two blocks");
    (0..1000).for_each(|_| meter.take(65_535));
    assert_eq!((meter.noise(), meter.frames(), meter.strayed()), (Some(longest), 131_072, false));
    let n = 131_072_u64;
    assert_eq!(u64::from(longest.variance), 2047 * 2047 * 256 * n / (n - 1));
    assert_eq!((longest.low, longest.high, longest.rows), (17_953, 22_047, [2047; 3]));
}

/// Given readings from end to end, when they are taken for a rest, then nothing wraps and the meter says that the
/// stick strayed.
#[test]
fn readings_from_end_to_end_do_not_wrap_and_are_reported() {
    let mut meter = RestMeter::new();
    (0..64 * 100).for_each(|n| meter.take([0, u16::MAX][n / 64 % 2]));
    assert!(meter.strayed());
    let noise = meter.noise().expect("two blocks");
    assert_eq!((noise.low, noise.high, noise.rows), (0, u16::MAX, [4095; 3]));
    let mut meter = RestMeter::new();
    let mut random = Random::new(3);
    (0..64 * 300).for_each(|_| meter.take(whole(random.unit() * 65_535.0)));
    assert!(meter.strayed() && meter.noise().is_some());
}

/// Given fewer than three blocks, when the noise is read, then there is none.
#[test]
fn fewer_than_three_blocks_give_no_noise() {
    let mut meter = RestMeter::default();
    for _ in 0..64 * 3 - 1 {
        meter.take(1000);
        assert_eq!(meter.noise(), None);
    }
    meter.take(1000);
    let still = meter.noise().expect("two blocks");
    assert_eq!(
        (still.variance, still.independent, still.wanders, still.fresh, still.step, still.peak_to_peak()),
        (0, 128, false, [1 << 20; 2], 0, 0)
    );
}

/// Given jumps of one, two and three frames, when rows are measured, then each length has its own distance.
#[test]
fn rows_of_one_two_and_three_frames_are_measured_apart() {
    let mut readings = vec![24_000_u16; 64 * 9];
    readings[100] += 900;
    readings[200..202].fill(24_000 - 500);
    (readings[300], readings[301], readings[302]) = (24_300, 24_000 - 310, 24_305);
    assert_eq!(measured(&readings).rows, [900, 500, 300]);
}

/// Given noise of a known colour, when it is measured, then its deviation and its correlation over one and two frames
/// are the known ones.
#[test]
fn known_noise_has_its_known_deviation_and_correlation() {
    for (colour, alike) in [
        (Colour::White, [0.0, 0.0]),
        (Colour::Forgets(0.02), [(-1.0_f64).exp(), (-2.0_f64).exp()]),
        (Colour::Forgets(0.1), [(-0.2_f64).exp(), (-0.4_f64).exp()]),
        (Colour::Both(0.1), [(-0.2_f64).exp() / 2.0, (-0.4_f64).exp() / 2.0]),
    ] {
        let noise = Gimbal::new(5, colour, 1.0, (0.0, 1.0)).rest(64_000).noise;
        let deviation = (f64::from(noise.variance) / 256.0).sqrt() / 80.0;
        assert!((deviation - 1.0).abs() < 0.03, "{colour:?}: {deviation} points");
        for (measured, known) in noise.fresh.map(|fresh| 1.0 - f64::from(fresh) / 1_048_576.0).into_iter().zip(alike) {
            assert!((measured - known).abs() < 0.02, "{colour:?}: {measured} for {known}");
        }
    }
}

/// The effective number of independent frames and whether the rest wanders, in double precision, from blocks of 64,
/// 128, 256, .. frames.
#[allow(clippy::cast_precision_loss)] // below 2^53
fn independent_frames(counted: &[f64]) -> (f64, bool) {
    let n = counted.len() as f64;
    let mean = counted.iter().sum::<f64>() / n;
    let variance = counted.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0);
    let tau = |length: usize| {
        let means = counted.chunks_exact(length).map(|block| block.iter().sum::<f64>() / length as f64);
        let blocks = means.len() as f64;
        length as f64 * means.map(|block| (block - mean).powi(2)).sum::<f64>() / (blocks - 1.0) / variance
    };
    let lengths =
        |least: usize| (6..).map(|power| 1 << power).take_while(move |length| counted.len() / length >= least);
    // Upper 95 % bounds of variances, and ratios that chance explains, with the numbers of the device.
    let bound = |length: usize| match counted.len() / length {
        0..16 => 256.0,
        blocks => [529.0, 412.0, 353.0, 319.0, 299.0, 285.0, 276.0, 270.0][blocks.ilog2() as usize - 4],
    };
    let bounded = |length: usize| (tau(length) * bound(length) / 256.0).max(0.0);
    let most = lengths(16).map(bounded).fold(bounded(64), f64::max);
    let longest = lengths(8).last().unwrap_or(64);
    let before = tau((longest / 8).max(64)).max(1.0);
    let excess = (tau(longest) - before) / longest as f64;
    let blocks = (counted.len() / longest).clamp(8, 15);
    let chance = [752.0, 710.0, 676.0, 649.0, 625.0, 605.0, 588.0, 573.0][blocks - 8] / 256.0;
    (n / most.max(1.0), tau(longest) > chance * before && excess > 0.05_f64.powi(2))
}

/// Given rests of any length up to the longest, white, slow and drifting, when floats compute the integrated
/// correlation from block means, then the meter has the same effective number of independent frames and the same
/// verdict on wandering.
#[test]
fn independent_frames_and_wandering_are_what_floats_say() {
    let mut wander = 0;
    let slow = (0..100).map(|seed| {
        let mut gimbal = Gimbal::any(seed);
        (0..64 * (10 + 5 * seed)).map(|_| gimbal.pulse().to_bits()).collect()
    });
    let longest = [(0.05, 0.3), (0.3, 0.0), (20.0, 0.0)].map(|(seconds, drift)| {
        let mut gimbal = Gimbal::new(2, Colour::Both(seconds), 0.8, (drift, 1000.0));
        (0..64 + 131_072).map(|_| gimbal.pulse().to_bits()).collect()
    });
    for readings in rests().chain(slow).chain(longest) {
        let noise = measured(&readings);
        let counted = readings[64..].iter().map(|&x| f64::from(x)).collect::<Vec<_>>();
        let (independent, wanders) = independent_frames(&counted[..noise.frames as usize]);
        let off = f64::from(noise.independent) / independent - 1.0;
        // The meter rounds down, and divides by a variance that was rounded down.
        assert!(
            off.abs() < 2e-3 || noise.independent.abs_diff(whole(independent).into()) <= 1,
            "{noise:?}: {independent}"
        );
        assert_eq!(noise.wanders, wanders, "{noise:?}");
        wander += u32::from(wanders);
    }
    println!("{wander} of 403 wander");
    assert!(wander > 20);
}

#[test]
fn the_least_change_of_a_reading_is_its_step() {
    let mut readings = vec![24_000_u16; 64 * 4];
    assert_eq!(measured(&readings).step, 0);
    readings[70..].fill(24_096);
    readings[90] = 24_096 + 32;
    assert_eq!(measured(&readings).step, 32);
}

/// Given readings that change sides with every frame, when they are measured, then the correlation is -1 over one
/// frame and 1 over two.
#[test]
fn alternating_readings_have_the_extreme_correlations() {
    let readings: Vec<u16> = (0..64 * 10).map(|n| 24_000 + n % 2 * 16).collect();
    let noise = measured(&readings);
    // The variance of 576 frames divides by 575, the mean square of their differences by the number of differences.
    let [one, two] = noise.fresh;
    assert!((2 << 20) - one < (2 << 20) / 500, "a difference has four times the variance: {one}");
    assert_eq!(two, 0, "and one over two frames none");
}
