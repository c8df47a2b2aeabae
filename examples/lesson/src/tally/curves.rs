//! Sticks, output and height over a lesson of unknown length, in fixed memory. Buckets of time keep the smallest and
//! the largest value of each. Their width doubles whenever the lesson becomes too long for them.

use handback::{AxisSet, Deflection, Pilot, Policy, Reception, Rest};

use super::seen::Seen;

/// Number of buckets. After a first doubling, more than half of them are in use.
const BUCKETS: usize = 2048;
/// The width of a bucket at the start is 2^10 microseconds.
const FIRST_SHIFT: u32 = 10;

/// The smallest and the largest of some values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Span<T> {
    /// The smallest; above `high` where there is no value.
    pub(crate) low: T,
    /// The largest.
    pub(crate) high: T,
}

/// An empty span of deflections, in 2^-14ths.
const NO_STICK: Span<i16> = Span { low: i16::MAX, high: i16::MIN };
/// An empty span of heights.
const NO_HEIGHT: Span<f32> = Span { low: f32::INFINITY, high: f32::NEG_INFINITY };

impl<T: PartialOrd + Copy> Span<T> {
    fn include(&mut self, value: T) {
        if value < self.low {
            self.low = value;
        }
        if value > self.high {
            self.high = value;
        }
    }

    fn join(&mut self, later: Self) {
        if later.low < self.low {
            self.low = later.low;
        }
        if later.high > self.high {
            self.high = later.high;
        }
    }

    /// Whether it has no value.
    pub(crate) fn is_empty(&self) -> bool {
        self.high < self.low
    }
}

/// The summary of a stretch of the lesson.
#[derive(Clone, Debug)]
pub(crate) struct Bucket<const N: usize> {
    /// The instructor's good frames.
    pub(crate) instructor: [Span<i16>; N],
    /// The student's good frames.
    pub(crate) student: [Span<i16>; N],
    /// The output.
    pub(crate) output: [Span<i16>; N],
    /// The rests of sticks without a fixed rest, while the student flew.
    pub(crate) rest: [Span<i16>; N],
    /// Height above ground in metres.
    pub(crate) height: Span<f32>,
    /// Microseconds flown by the student, the instructor and nobody, summed over the shared axes.
    pub(crate) flown: [u64; 3],
    /// The student's axes at its end.
    pub(crate) student_axes: AxisSet,
    /// Number of steps in which the student lost an axis.
    pub(crate) takeovers: u32,
    /// Number of steps in it; 0 for an empty bucket.
    pub(crate) steps: u32,
}

impl<const N: usize> Bucket<N> {
    const EMPTY: Self = Self {
        instructor: [NO_STICK; N],
        student: [NO_STICK; N],
        output: [NO_STICK; N],
        rest: [NO_STICK; N],
        height: NO_HEIGHT,
        flown: [0; 3],
        student_axes: AxisSet::EMPTY,
        takeovers: 0,
        steps: 0,
    };

    /// Adds the bucket that follows this one.
    pub(crate) fn join(&mut self, later: &Self) {
        for axis in 0..N {
            self.instructor[axis].join(later.instructor[axis]);
            self.student[axis].join(later.student[axis]);
            self.output[axis].join(later.output[axis]);
            self.rest[axis].join(later.rest[axis]);
        }
        self.height.join(later.height);
        for (mine, theirs) in self.flown.iter_mut().zip(later.flown) {
            *mine += theirs;
        }
        if later.steps > 0 {
            self.student_axes = later.student_axes;
        }
        self.takeovers = self.takeovers.saturating_add(later.takeovers);
        self.steps = self.steps.saturating_add(later.steps);
    }
}

/// The curves of a lesson.
#[derive(Clone, Debug)]
pub(crate) struct Curves<const N: usize> {
    buckets: Vec<Bucket<N>>,
    shift: u32,
    start_us: Option<u64>,
    last_us: u64,
    shared: AxisSet,
    /// Axes whose rest is not fixed.
    where_left: AxisSet,
}

impl<const N: usize> Curves<N> {
    pub(super) fn new(policy: &Policy<N>) -> Self {
        let mut where_left = AxisSet::EMPTY;
        for (axis, rule) in (0..).zip(&policy.axes) {
            if policy.watched.contains(axis) && matches!(rule.rest, Rest::WhereLeft { .. }) {
                where_left = where_left.with(axis);
            }
        }
        Self {
            buckets: vec![Bucket::EMPTY; BUCKETS],
            shift: FIRST_SHIFT,
            start_us: None,
            last_us: 0,
            shared: policy.shared,
            where_left,
        }
    }

    pub(super) fn observe(&mut self, seen: &Seen<'_, N>, rests: &[Option<Deflection>; N]) {
        self.count_time(seen);
        let place = self.place_for(seen.time_us());
        let bucket = &mut self.buckets[place];
        bucket.steps = bucket.steps.saturating_add(1);
        bucket.takeovers = bucket.takeovers.saturating_add(u32::from(!seen.lost().is_empty()));
        bucket.student_axes = seen.after().student();
        include(&mut bucket.output, seen.outcome.output.axes());
        if let (Some(frame), Reception::Good) = (&seen.row.instructor, seen.outcome.instructor) {
            include(&mut bucket.instructor, frame.axes());
        }
        if let (Some(frame), Reception::Good) = (&seen.row.student, seen.outcome.student) {
            include(&mut bucket.student, frame.axes());
        }
        if let Some(truth) = seen.truth {
            #[allow(clippy::cast_possible_truncation)] // exact enough for a picture
            bucket.height.include(truth.height_m as f32);
        }
        if !self.where_left.is_empty() && !bucket.student_axes.is_empty() {
            for axis in self.where_left.iter() {
                let axis = usize::from(axis);
                if let Some(rest) = rests[axis] {
                    bucket.rest[axis].include(rest.to_bits());
                }
            }
        }
    }

    /// Counts the time since the last step for its pilot, in the bucket of the last step.
    fn count_time(&mut self, seen: &Seen<'_, N>) {
        let now = seen.time_us();
        if self.start_us.is_none() {
            self.start_us = Some(now);
            self.last_us = now;
        }
        let dt = now.saturating_sub(self.last_us);
        let place = self.place_for(self.last_us);
        let all = u64::from(self.shared.len().max(1));
        let student = u64::from(seen.before.student().len());
        let nobody = if seen.before == Pilot::Nobody { all } else { 0 };
        let shares = [student, all.saturating_sub(student + nobody), nobody];
        for (flown, share) in self.buckets[place].flown.iter_mut().zip(shares) {
            *flown = flown.saturating_add(dt.saturating_mul(share));
        }
        self.last_us = self.last_us.max(now);
    }

    /// The bucket of a time. Doubles the width of all buckets until the time fits.
    fn place_for(&mut self, time_us: u64) -> usize {
        let since = time_us.saturating_sub(self.start_us.unwrap_or(time_us));
        loop {
            match usize::try_from(since >> self.shift) {
                Ok(place) if place < BUCKETS => return place,
                _ => self.halve(),
            }
        }
    }

    fn halve(&mut self) {
        for place in 0..BUCKETS / 2 {
            let mut joined = self.buckets[2 * place].clone();
            joined.join(&self.buckets[2 * place + 1]);
            self.buckets[place] = joined;
        }
        self.buckets[BUCKETS / 2..].fill(Bucket::EMPTY);
        self.shift += 1;
    }

    #[cfg(test)]
    pub(super) fn capacity(&self) -> usize {
        self.buckets.capacity()
    }

    /// The width of a bucket in microseconds.
    pub(crate) fn width_us(&self) -> u64 {
        1 << self.shift
    }

    /// The buckets with steps, each with the time of its beginning in microseconds.
    pub(crate) fn buckets(&self) -> impl Iterator<Item = (u64, &Bucket<N>)> {
        let start = self.start_us.unwrap_or(0);
        let width = self.width_us();
        self.buckets
            .iter()
            .zip(0_u64..)
            .filter(|(bucket, _)| bucket.steps > 0)
            .map(move |(bucket, place)| (start.saturating_add(place * width), bucket))
    }
}

fn include<const N: usize>(spans: &mut [Span<i16>; N], values: &[Deflection; N]) {
    for (span, value) in spans.iter_mut().zip(values) {
        span.include(value.to_bits());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tally::sample::Lesson;
    use handback::Cause;

    #[test]
    fn halving_keeps_the_least_and_the_greatest() {
        // Given two spikes of one step, up and down, early in a lesson
        let mut lesson = Lesson::new();
        lesson.fly(0, 980).stick(0, 90).fly(1000, 1000).stick(0, -70).fly(1020, 1020).stick(0, 0);
        // When the lesson lasts so long that the buckets double many times
        lesson.fly(1040, 1_000_000);
        // Then their bucket still has both.
        let curves = &lesson.tally.curves;
        assert!(curves.width_us() >= 480_000, "{}", curves.width_us());
        let (_, first) = curves.buckets().nth(usize::try_from(1_000_000 / curves.width_us()).unwrap()).unwrap();
        assert_eq!(first.instructor[0].high, Deflection::from_points(90).to_bits());
        assert_eq!(first.instructor[0].low, Deflection::from_points(-70).to_bits());
    }

    #[test]
    fn halving_loses_no_step_no_takeover_and_no_time() {
        let mut lesson = Lesson::new();
        for turn in 0..50 {
            lesson.hand_back_at(turn * 1000 + 20).fly(turn * 1000 + 40, turn * 1000 + 500);
            lesson.take_over_at(turn * 1000 + 520, Cause::Stick(0)).fly(turn * 1000 + 540, turn * 1000 + 980);
        }
        let curves = &lesson.tally.curves;
        let sum = |of: fn(&Bucket<3>) -> u64| curves.buckets().map(|(_, bucket)| of(bucket)).sum::<u64>();
        assert_eq!(sum(|bucket| u64::from(bucket.steps)), lesson.tally.turns.steps);
        assert_eq!(sum(|bucket| u64::from(bucket.takeovers)), 50);
        assert_eq!(sum(|bucket| bucket.flown[0]), 3 * lesson.tally.turns.student_us);
        assert_eq!(sum(|bucket| bucket.flown[1]), 3 * lesson.tally.turns.instructor_us);
    }

    #[test]
    fn a_gap_of_a_century_and_a_clock_that_runs_back_are_survived() {
        let mut lesson = Lesson::new();
        lesson.fly(1000, 1100).fly(3_155_760_000_000, 3_155_760_000_000).fly(500, 500);
        assert_eq!(lesson.tally.curves.buckets().count(), 2);
    }
}
