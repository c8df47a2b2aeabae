//! Finds the rest of each sprung stick, where it is most of the time, and compares it with the policy.
//!
//! A rest that differs from the policy keeps the craft from the student without a visible reason: the stick counts as
//! held, or is close to it.

use handback::{Deflection, Policy, Reception, Rest};

use super::seen::Seen;

/// Number of bins: one for every whole point from -200 to 200.
const BINS: usize = 401;
const MIDDLE: i32 = 200;
/// The rest is known where at least one of this many frames is within about a point and a half of it.
const OFTEN: u64 = 3;

/// Frames with the stick at the same whole point.
#[derive(Clone, Copy, Debug, Default)]
struct Bin {
    count: u64,
    /// The sum of their deflections in 2^-14ths.
    sum: i64,
}

/// An axis with a fixed rest.
#[derive(Clone, Debug)]
struct Stick {
    axis: usize,
    rest: Deflection,
    release: Deflection,
    bins: Box<[Bin; BINS]>,
}

/// A stick whose rest differs from the policy.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Misplaced {
    /// The axis.
    pub(crate) axis: usize,
    /// The measured rest of its stick.
    pub(crate) rests_at: Deflection,
    /// The rest in the policy.
    pub(crate) policy: Deflection,
}

/// The positions of the watched sticks with a fixed rest.
#[derive(Clone, Debug)]
pub(crate) struct Resting {
    sticks: Vec<Stick>,
    frames: u64,
}

impl Resting {
    pub(super) fn new<const N: usize>(policy: &Policy<N>) -> Self {
        let watched = (0_u8..).zip(&policy.axes).filter(|(axis, _)| policy.watched.contains(*axis));
        let stick = |(axis, rule): (u8, &handback::AxisRule)| match rule.rest {
            Rest::At(rest) => {
                let bins = Box::new([Bin::default(); BINS]);
                Some(Stick { axis: axis.into(), rest, release: rule.release, bins })
            }
            Rest::WhereLeft { .. } => None,
        };
        Self { sticks: watched.filter_map(stick).collect(), frames: 0 }
    }

    pub(super) fn observe<const N: usize>(&mut self, seen: &Seen<'_, N>) {
        let (Some(frame), Reception::Good) = (&seen.row.instructor, seen.outcome.instructor) else { return };
        self.frames += 1;
        for stick in &mut self.sticks {
            let bits = frame.axes()[stick.axis].to_bits();
            let bin = &mut stick.bins[place_of(bits)];
            bin.count += 1;
            bin.sum += i64::from(bits);
        }
    }

    /// The sticks whose rest is further than their `release` from the rest in the policy.
    pub(crate) fn misplaced(&self) -> impl Iterator<Item = Misplaced> {
        self.sticks.iter().filter_map(|stick| {
            let rests_at = stick.rests_at(self.frames)?;
            let off = rests_at.to_bits().abs_diff(stick.rest.to_bits());
            let fits = off <= stick.release.to_bits().unsigned_abs();
            (!fits).then_some(Misplaced { axis: stick.axis, rests_at, policy: stick.rest })
        })
    }
}

impl Stick {
    /// The mean of the fullest bin and its neighbours; `None` where they hold too few of the frames.
    fn rests_at(&self, frames: u64) -> Option<Deflection> {
        let (fullest, _) = self.bins.iter().enumerate().max_by_key(|(_, bin)| bin.count)?;
        let around = &self.bins[fullest.saturating_sub(1)..BINS.min(fullest + 2)];
        let (count, sum) = around.iter().fold((0, 0), |(count, sum), bin| (count + bin.count, sum + bin.sum));
        if count == 0 || count * OFTEN < frames {
            return None;
        }
        i16::try_from(sum / i64::try_from(count).ok()?).ok().map(Deflection::from_bits)
    }
}

/// The bin of the nearest whole point. A point has 163.84 units, so 4096 units are 25 points.
fn place_of(bits: i16) -> usize {
    let points = (i32::from(bits) * 25 + 2048) >> 12;
    usize::try_from(points + MIDDLE).unwrap_or(0).min(BINS - 1)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::sample::{Lesson, policy};

    fn hints(lesson: &Lesson) -> Vec<Misplaced> {
        lesson.tally.resting.misplaced().collect()
    }

    /// Given a stick that rests just within `release`, when its rest is judged, then it fits; a unit further it does
    /// not.
    #[test]
    fn a_rest_within_release_fits_and_a_unit_further_does_not() {
        let release = policy().axes[0].release;
        for (off, misplaced) in [(release.to_bits(), 0), (release.to_bits() + 1, 1)] {
            for rests_at in [off, -off].map(Deflection::from_bits) {
                let mut lesson = Lesson::new();
                lesson.stick_at(0, rests_at).fly(0, 2000);
                let found = hints(&lesson);
                assert_eq!(found.len(), misplaced, "{rests_at}");
                if let [hint] = found[..] {
                    assert_eq!(hint, Misplaced { axis: 0, rests_at, policy: Deflection::CENTRE });
                }
            }
        }
    }

    #[test]
    fn noise_across_the_border_of_two_bins_is_averaged() {
        let mut lesson = Lesson::new();
        for turn in 0..100 {
            // 1.6 points, 0.3 more or less: bins 1 and 2
            let centipoints = if turn % 2 == 0 { 130 } else { 190 };
            lesson.stick_at(1, Deflection::from_centipoints(centipoints)).fly(turn * 20, turn * 20);
        }
        let [hint] = hints(&lesson)[..] else { panic!("{:?}", hints(&lesson)) };
        assert_eq!((hint.axis, hint.rests_at), (1, Deflection::from_centipoints(160)));
    }

    /// Given a stick that is moved all the time, and a throttle, when their rests are judged, then they have none.
    #[test]
    fn a_moving_stick_and_a_throttle_rest_nowhere() {
        let mut lesson = Lesson::new();
        for turn in 0..200_u64 {
            let points = i16::try_from(turn % 40).unwrap();
            lesson.stick(0, 5 + points).stick(2, 50).fly(turn * 20, turn * 20);
        }
        assert_eq!(hints(&lesson), []);
    }

    #[test]
    fn movements_between_rests_do_not_shift_where_it_rests() {
        let mut lesson = Lesson::new();
        lesson.fly(0, 4000).stick(0, -60).fly(4020, 7000).stick(0, 0).fly(7020, 9000);
        assert_eq!(hints(&lesson), []);
        lesson.stick(0, 30).fly(9020, 90_000);
        assert_eq!(hints(&lesson).len(), 1);
    }

    #[test]
    fn every_deflection_has_its_bin() {
        for bits in i16::MIN..=i16::MAX {
            let points = f64::from(bits) / 163.84;
            #[allow(clippy::cast_precision_loss)] // at most 400
            let middle = place_of(bits) as f64 - 200.0;
            assert!((points - middle).abs() <= 0.5, "{bits}");
        }
    }
}
