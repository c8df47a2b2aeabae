//! The curves in the resolution of the picture, as paths.

use super::canvas::Point;
use super::scale::{Scale, points};
use crate::count::seconds;
use crate::tally::{Bucket, Curves, Span};

/// A stretch of the lesson, drawn at one horizontal place.
pub(super) struct Column<const N: usize> {
    /// Its beginning and end, in seconds.
    pub(super) from_s: f64,
    pub(super) to_s: f64,
    pub(super) bucket: Bucket<N>,
}

/// The curves in at most about `most` columns. Each column lasts until the next one begins, the last until the lesson
/// ends.
pub(super) fn columns<const N: usize>(curves: &Curves<N>, most: u64, end_us: u64) -> Vec<Column<N>> {
    let start_us = curves.buckets().next().map_or(0, |(begins, _)| begins);
    let lasted_us = end_us.saturating_sub(start_us);
    let mut width_us = curves.width_us();
    while lasted_us / width_us > most {
        width_us *= 2;
    }
    let mut joined: Vec<(u64, Bucket<N>)> = Vec::new();
    for (begins, bucket) in curves.buckets() {
        let place = begins.saturating_sub(start_us) / width_us;
        match joined.last_mut() {
            Some((last, into)) if *last == place => into.join(bucket),
            _ => joined.push((place, bucket.clone())),
        }
    }
    let begins = |place: u64| seconds(start_us.saturating_add(place * width_us));
    let ends: Vec<f64> = joined.iter().skip(1).map(|(place, _)| begins(*place)).chain([seconds(end_us)]).collect();
    joined.into_iter().zip(ends).map(|((place, bucket), to_s)| Column { from_s: begins(place), to_s, bucket }).collect()
}

/// A span of deflections in points; `None` where it is empty.
pub(super) fn in_points(span: Span<i16>) -> Option<(f64, f64)> {
    (!span.is_empty()).then(|| (points(span.low), points(span.high)))
}

/// A path through the smallest and the largest value of every column, in the order that makes it shorter.
#[derive(Default)]
pub(super) struct Path {
    pub(super) points: Vec<Point>,
}

impl Path {
    pub(super) fn touch(&mut self, x: f64, (low, high): (f64, f64), y: Scale) {
        let (low, high) = (y.place(low), y.place(high));
        let last = self.points.last().map_or(low, |&(_, y)| y);
        let low_first = (last - low).abs() <= (last - high).abs();
        let (first, second) = if low_first { (low, high) } else { (high, low) };
        self.points.push((x, first));
        if (first - second).abs() > 0.1 {
            self.points.push((x, second));
        }
    }
}
