//! Measures a recording of sweeps: the ends of the travel, the slowest passage through the centre, and the return by
//! the spring.
//!
//! The definitions are those of the device (`handback::calibrate`), in points and over the whole recording:
//!
//! - Still: 64 readings in a row whose range is within a slack, which follows from the range of the rest.
//! - Sweep: from beyond the widest band on one side of the centre to beyond it on the other side.
//! - Release: the stick comes from beyond half its travel to the middle within half a second, does not swing past the
//!   widest band, and stands still in the middle within one more second. A hand does not move a stick like that.

use super::rest::AxisRest;

/// Half widths of the bands about the centre in which sweeps are timed, as shares of the travel, widest first.
const BANDS: [f64; 4] = [1.0 / 4.0, 1.0 / 8.0, 1.0 / 16.0, 1.0 / 32.0];
/// Half width of the middle as a share of the travel. A released stick comes to rest in the middle.
const MIDDLE: f64 = 1.0 / 8.0;
/// Number of readings in a row that make a stick still.
const STILL: usize = 64;
/// A stick that spends this many frames or more in the widest band has paused; that is no sweep.
const PAUSE: usize = 100;
/// Number of sweeps that is enough to know the slowest.
pub(super) const SWEEPS: usize = 8;
/// The smallest travel that counts as swept, in points.
const LEAST_TRAVEL: f64 = 20.0;
/// The longest time of a spring from half the travel to the middle, in seconds.
const SPRING_S: f64 = 0.5;
/// The longest time from the arrival in the middle until the stick is still, in seconds.
const STILL_S: f64 = 1.0;

/// The properties of the sweeps of one axis; distances in points, times in frames.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Swept {
    /// Time from one frame to the next in this recording, in seconds.
    pub(crate) frame_s: f64,
    /// The smallest and the largest reading.
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// Distance from the centre to the nearer end.
    pub(crate) travel: f64,
    /// Number of sweeps.
    pub(crate) sweeps: usize,
    /// The most frames of one sweep within each band.
    slowest: [usize; 4],
    /// Number of releases.
    pub(crate) releases: usize,
    /// The largest distance from the centre of the rest after a release.
    pub(crate) scatter: f64,
    /// The largest swing past the centre after a release.
    pub(crate) overshoot: f64,
    /// The most frames from arrival in the middle until the stick is still.
    pub(crate) ring: usize,
}

impl Swept {
    /// Measures the sweeps of an axis whose rest is known. `frame_s` is the time from one frame to the next, in
    /// seconds.
    pub(super) fn measure(points: &[f64], rest: &AxisRest, sprung: bool, frame_s: f64) -> Self {
        let low = points.iter().copied().fold(f64::MAX, f64::min);
        let high = points.iter().copied().fold(f64::MIN, f64::max);
        // The rest of an unsprung stick is where it was parked, so the centre is midway between the ends.
        let centre = if sprung { rest.mean } else { f64::midpoint(low, high) };
        let travel = (centre - low).min(high - centre).max(0.0);
        let (slowest, scatter, overshoot) = ([0; 4], 0.0, 0.0);
        let mut swept =
            Self { frame_s, low, high, travel, sweeps: 0, slowest, releases: 0, scatter, overshoot, ring: 0 };
        if swept.is_swept() {
            let off = points.iter().map(|at| at - centre).collect::<Vec<_>>();
            swept.time_sweeps(&off);
            if sprung {
                let slack = 1.5 * (rest.high - rest.low) + LEAST_TRAVEL / 16.0;
                swept.see_releases(&off, slack, [SPRING_S / frame_s, STILL_S / frame_s]);
            }
        }
        swept
    }

    /// Whether it was moved far enough to count as swept.
    pub(crate) fn is_swept(&self) -> bool {
        self.travel >= LEAST_TRAVEL
    }

    /// The number of frames in which a stick that passes its centre, or returns to it, looks like a stick at rest. It
    /// is the time of the slowest sweep in the narrowest band wider than `engage`, plus two frames because a sweep
    /// begins and ends between frames, plus `confirm` - 1 frames until the stick is held again. Where the swing past
    /// the centre exceeds `release`, the time until the stick is still is added. `None` where there were no sweeps.
    pub(crate) fn busy(&self, engage: f64, release: f64, confirm: u8) -> Option<usize> {
        let held_by = BANDS.iter().rposition(|band| band * self.travel > engage).unwrap_or(0);
        let swing = if self.overshoot > release { self.ring } else { 0 };
        (self.sweeps > 0).then(|| self.slowest[held_by] + 1 + usize::from(confirm) + swing)
    }

    fn time_sweeps(&mut self, off: &[f64]) {
        let [widest, ..] = BANDS;
        let (mut beyond, mut inside) = (None, [0; 4]);
        for &at in off {
            if at.abs() <= widest * self.travel {
                for (frames, band) in inside.iter_mut().zip(BANDS) {
                    *frames += usize::from(at.abs() <= band * self.travel);
                }
                continue;
            }
            let above = at > 0.0;
            if beyond == Some(!above) && inside[0] < PAUSE {
                self.sweeps += 1;
                self.slowest.iter_mut().zip(inside).for_each(|(most, frames)| *most = frames.max(*most));
            }
            (beyond, inside) = (Some(above), [0; 4]);
        }
    }

    fn see_releases(&mut self, off: &[f64], slack: f64, [home_within, still_within]: [f64; 2]) {
        let middle = MIDDLE * self.travel;
        // The last frame beyond half the travel, with its side, and whether the stick has been still since.
        let (mut far, mut seen) = (None, false);
        for (now, &at) in off.iter().enumerate() {
            if at.abs() > self.travel / 2.0 {
                (far, seen) = (Some((now, at > 0.0)), false);
            }
            let Some(still_from) = (now + 1).checked_sub(STILL) else { continue };
            let still = !seen && spread(&off[still_from..=now]) <= slack;
            let Some((left, from_above)) = far.filter(|_| still) else { continue };
            seen = true;
            let home = off[still_from..=now].iter().sum::<f64>() / len(STILL);
            let way = &off[left + 1..=now];
            let arrived = way.iter().position(|&at| at.abs() <= middle || (at > 0.0) != from_above);
            let Some(arrived) = arrived.filter(|&frames| len(frames) <= home_within && home.abs() <= middle) else {
                continue;
            };
            let arrived = left + 1 + arrived;
            let past = off[arrived..=now].iter().map(|&at| if from_above { -at } else { at }).fold(0.0, f64::max);
            let ring = still_from.saturating_sub(arrived);
            if past > BANDS[0] * self.travel || len(ring) > still_within {
                continue;
            }
            self.releases += 1;
            self.scatter = self.scatter.max(home.abs());
            self.overshoot = self.overshoot.max(past);
            self.ring = self.ring.max(ring);
        }
    }
}

/// The largest value minus the smallest.
fn spread(points: &[f64]) -> f64 {
    let (low, high) = points.iter().fold((f64::MAX, f64::MIN), |(low, high), &at| (at.min(low), at.max(high)));
    high - low
}

fn len(count: usize) -> f64 {
    u32::try_from(count).map_or(f64::MAX, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    const FRAME_S: f64 = 0.02;

    /// A stick that rests at 3 points, within a tenth of a point.
    fn rest() -> AxisRest {
        let points = (0..256).map(|n| 3.0 + f64::from(n % 3 - 1) / 10.0).collect::<Vec<_>>();
        AxisRest::measure(&points).unwrap()
    }

    /// Passages from one end to the other and back: `times` of them, at `speed` points per frame.
    fn swept(speed: f64, times: u32) -> Vec<f64> {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a count
        let frames = (200.0 / speed).round() as u32;
        let way = move |frame: u32| -97.0 + f64::from(frame) * speed;
        (0..times)
            .flat_map(|time| (0..frames).map(move |n| if time % 2 == 0 { way(n) } else { way(frames - n) }))
            .collect()
    }

    #[test]
    fn a_sweep_is_timed_in_the_narrowest_band_that_holds_engage() {
        let measured = Swept::measure(&swept(4.0, 10), &rest(), true, FRAME_S);
        assert_eq!((measured.sweeps, measured.travel.to_bits()), (10, 100.0_f64.to_bits()));
        // 100 points of travel: bands of 25, 12.5, 6.25 and 3.125 points either side, at 4 points a frame.
        for (engage, inside) in [(2.0, 1), (3.12, 1), (3.125, 3), (7.0, 7), (13.0, 13), (40.0, 13)] {
            assert_eq!(measured.busy(engage, 1.0, 1), Some(inside + 2), "{engage}: {measured:?}");
        }
        let nudged = Swept::measure(&[3.0, 20.0, -14.0], &rest(), true, FRAME_S);
        assert_eq!((nudged.is_swept(), nudged.busy(2.0, 1.0, 1)), (false, None));
    }

    /// A stick that is held at the upper end, released, returns through these readings, and is still.
    fn let_go(way: &[f64]) -> Swept {
        let mut points = vec![-97.0, 103.0];
        points.extend([103.0; 70]);
        points.extend(way);
        points.extend([3.4; 70]);
        Swept::measure(&points, &rest(), true, FRAME_S)
    }

    #[test]
    fn a_stick_that_is_let_go_says_where_it_stays_and_how_it_swings() {
        let home = let_go(&[60.0, 20.0, -2.0, -5.0, 6.0]);
        assert_eq!((home.releases, home.ring), (1, 3), "{home:?}");
        assert!((home.scatter - 0.4).abs() < 0.01 && (home.overshoot - 8.0).abs() < 0.01, "{home:?}");
        // The swing exceeds a `release` of 1 point, but not one of 9.
        assert_eq!(home.busy(2.0, 1.0, 1).unwrap(), home.busy(2.0, 9.0, 1).unwrap() + 3);
    }

    #[test]
    fn a_stick_that_a_hand_brings_home_was_not_let_go() {
        let slow = (0..80).map(|n| 103.0 - f64::from(n) * 1.25).collect::<Vec<_>>();
        assert_eq!(let_go(&slow).releases, 0);
        assert_eq!(let_go(&[50.0, -40.0, 10.0]).releases, 0, "no spring swings so far");
        // A stick that creeps is still while far out, and returns later.
        let creeps = (0..90).map(|n| 50.0 - f64::from(n) / 90.0).chain([20.0, 3.0]).collect::<Vec<_>>();
        assert_eq!(let_go(&creeps).releases, 0);
    }
}
