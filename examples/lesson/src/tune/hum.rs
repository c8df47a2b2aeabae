//! Hum: a single frequency that stands out of the spectrum.

use super::spectrum::Spectrum;

/// A frequency that makes a large share of the noise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Hum {
    /// Its frequency in hertz; one above half the frame rate is aliased.
    pub(crate) hz: f64,
    /// Its share of the variance.
    pub(crate) share: f64,
}

/// The number of lowest lines that belong to slow noise.
const SLOW: usize = 4;
/// Lines of a tone on either side of its peak (the width of the window).
const BESIDE: usize = 1;
/// Lines on either side that give the level of the noise beside it.
const AROUND: usize = 10;
/// Its least factor above that level, and its least share of the variance (own choice; white noise averaged over eight
/// segments reaches a factor of 4 in 512 lines).
const FACTOR: f64 = 10.0;
const SHARE: f64 = 0.1;

impl Hum {
    /// The strongest hum, where there is one.
    pub(super) fn of(spectrum: &Spectrum) -> Option<Self> {
        let lines = &spectrum.lines;
        if lines.len() < 4 * AROUND {
            return None;
        }
        let (peak, &(hz, power)) = lines.iter().enumerate().skip(SLOW).max_by(|a, b| a.1.1.total_cmp(&b.1.1))?;
        let from = peak.saturating_sub(AROUND);
        let near = lines[from..(peak + AROUND + 1).min(lines.len())].iter().enumerate();
        let near = near.filter(|(n, _)| (from + n).abs_diff(peak) > BESIDE + 1).map(|(_, line)| line.1);
        let beside = super::pace::median(&near.collect::<Vec<_>>());
        let of_all: f64 = lines.iter().map(|line| line.1).sum();
        let own = lines[peak - BESIDE..(peak + BESIDE + 1).min(lines.len())].iter().map(|line| line.1 - beside);
        let share = own.sum::<f64>() / of_all.max(f64::MIN_POSITIVE);
        (power > FACTOR * beside && share > SHARE).then_some(Self { hz, share: share.min(1.0) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use seeded::Random;

    fn hum(size: f64, hz: f64) -> Option<Hum> {
        let mut rng = Random::stream(9, 0);
        let points: Vec<f64> =
            (0..6000).map(|n| rng.normal() + size * (std::f64::consts::TAU * hz * f64::from(n) * 0.02).sin()).collect();
        Hum::of(&Spectrum::of(&points, 0.0, 0.02))
    }

    /// Given a tone in white noise, then its frequency and share are found. Given white noise alone, then no hum is
    /// found.
    #[test]
    fn a_tone_is_named_with_its_frequency() {
        // An amplitude of 1 is a variance of 1/2; that of the noise is 1.
        let found = hum(1.0, 10.2).unwrap();
        assert!((found.hz - 10.2).abs() < 0.1 && (found.share - 1.0 / 3.0).abs() < 0.05, "{found:?}");
        // 60 Hz read 50 times a second.
        assert!((hum(1.0, 60.0).unwrap().hz - 10.0).abs() < 0.1);
        assert_eq!(hum(0.0, 1.0), None);
    }
}
