//! The power spectrum of a rest: the mean of windowed periodograms of overlapping segments (P. D. Welch, The use of
//! fast Fourier transform for the estimation of power spectra, IEEE Transactions on Audio and Electroacoustics 15,
//! 1967).
//!
//! The transform is written out here because libraries choose an algorithm by the features of the processor. With this
//! one, a picture is the same on every processor.

use std::f64::consts::TAU;

/// The longest segment, in frames; a power of two.
const LONGEST: usize = 512;
/// The fewest segments to average, where there are enough frames.
const STRETCHES: usize = 8;

/// Power density, points squared per hertz, at equally spaced frequencies.
#[derive(Clone, Debug)]
pub(crate) struct Spectrum {
    /// Frequency in hertz, and power density. 0 Hz is left out, since it is the rest itself. Half the frame rate is
    /// left out, since it has no mirror image.
    pub(crate) lines: Vec<(f64, f64)>,
    /// The power density of white noise with the same variance.
    pub(crate) white: f64,
}

impl Spectrum {
    /// The spectrum of readings about `mean`, one every `frame_s` seconds.
    pub(super) fn of(points: &[f64], mean: f64, frame_s: f64) -> Self {
        let mut length = LONGEST;
        while length > 16 && points.len() < length * (STRETCHES + 1) / 2 {
            length /= 2;
        }
        let window = (0..length).map(|n| 0.5 - 0.5 * libm::cos(TAU * as_f64(n) / as_f64(length))).collect::<Vec<_>>();
        let weight = window.iter().map(|w| w * w).sum::<f64>();
        let (mut power, mut stretches) = (vec![0.0; length / 2], 0);
        for stretch in points.windows(length).step_by(length / 2) {
            let windowed = stretch.iter().zip(&window).map(|(at, w)| ((at - mean) * w, 0.0)).collect::<Vec<_>>();
            for (sum, (re, im)) in power.iter_mut().zip(transformed(windowed)) {
                *sum += re * re + im * im;
            }
            stretches += 1;
        }
        // The factor 2 folds the negative frequencies onto the positive ones.
        let scale = 2.0 * frame_s / weight / as_f64(stretches.max(1));
        let lines = power.iter().enumerate().skip(1);
        let lines = lines.map(|(n, sum)| (as_f64(n) / (as_f64(length) * frame_s), sum * scale));
        let variance = points.iter().map(|at| (at - mean) * (at - mean)).sum::<f64>() / as_f64(points.len().max(1));
        Self { lines: lines.collect(), white: variance * 2.0 * frame_s }
    }
}

/// The discrete Fourier transform of complex numbers, whose count is a power of two; recursive, by halves.
fn transformed(values: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let length = values.len();
    if length == 1 {
        return values;
    }
    let every_other = |first: usize| transformed(values.iter().skip(first).step_by(2).copied().collect());
    let (even, odd) = (every_other(0), every_other(1));
    let mut out = vec![(0.0, 0.0); length];
    for (n, (e, o)) in even.into_iter().zip(odd).enumerate() {
        let (sin, cos) = libm::sincos(-TAU * as_f64(n) / as_f64(length));
        let turned = (o.0 * cos - o.1 * sin, o.0 * sin + o.1 * cos);
        out[n] = (e.0 + turned.0, e.1 + turned.1);
        out[n + length / 2] = (e.0 - turned.0, e.1 - turned.1);
    }
    out
}

#[allow(clippy::cast_precision_loss)] // below 2^53
fn as_f64(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Given a tone, when its spectrum is computed, then the power of all frequencies is the variance, and the tone is
    /// at its own frequency.
    #[test]
    fn the_power_of_the_spectrum_is_the_variance() {
        // 4.6875 Hz at 50 frames a second: the 48th line of 512 frames. Amplitude 2, so a variance of 2.
        let tone = (0..5120).map(|n| 2.0 * (TAU * 4.6875 * as_f64(n) / 50.0).sin()).collect::<Vec<_>>();
        let spectrum = Spectrum::of(&tone, 0.0, 0.02);
        let apart = 50.0 / 512.0;
        let total = spectrum.lines.iter().map(|(_, power)| power * apart).sum::<f64>();
        assert!((total - 2.0).abs() < 0.01, "{total}");
        let (at, _) = spectrum.lines.iter().copied().max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        assert!((at - 4.6875).abs() < 1e-9, "{at}");
        assert!((spectrum.white - 2.0 / 25.0).abs() < 1e-3, "{}", spectrum.white);
    }
}
