//! The sticks of a stretch of time, for a drawing: the smallest and the largest value of each column.

use super::Flies;
use super::moments::Moments;
use crate::count::seconds;

/// The smallest and the largest value within a column, in points; `None` where nothing came.
type Span = Option<(f64, f64)>;

/// One axis, column by column.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Curve {
    pub instructor: Vec<Span>,
    pub student: Vec<Span>,
    pub output: Vec<Span>,
}

/// All axes, and who flew.
#[derive(Clone, Debug, PartialEq)]
pub struct Curves {
    pub axes: Vec<Curve>,
    /// Who flew at the end of each column, and whether that changed within it; `None` before the lesson and after it.
    pub flies: Vec<Option<(Flies, bool)>>,
}

impl Moments {
    pub(super) fn curves(&self, from_s: f64, to_s: f64, columns: usize) -> Curves {
        let mut curves = Curves { axes: vec![Curve::default(); self.axes()], flies: Vec::with_capacity(columns) };
        #[allow(clippy::cast_precision_loss)] // few columns
        let edge = |column: usize| from_s + (to_s - from_s) * column as f64 / columns as f64;
        let at = |time_s: f64| self.time_us.partition_point(|&time_us| seconds(time_us) < time_s);
        let mut begins = at(from_s);
        for column in 0..columns {
            // What stands at the last edge belongs to the last column.
            let ends = if column + 1 == columns {
                self.time_us.partition_point(|&time_us| seconds(time_us) <= to_s)
            } else {
                at(edge(column + 1))
            };
            let ends = ends.max(begins);
            for (axis, curve) in curves.axes.iter_mut().enumerate() {
                curve.instructor.push(self.span(begins..ends, 0, axis));
                curve.student.push(self.span(begins..ends, 1, axis));
                curve.output.push(self.held(begins..ends, axis));
            }
            curves.flies.push(self.flown(begins..ends));
            begins = ends;
        }
        curves
    }

    fn span(&self, steps: std::ops::Range<usize>, side: usize, axis: usize) -> Span {
        let values = steps.filter_map(|step| self.at(step, side, axis));
        values.fold(None, |span: Span, value| {
            let (low, high) = span.unwrap_or((value, value));
            Some((low.min(value), high.max(value)))
        })
    }

    /// The output, which stands until the next step.
    fn held(&self, steps: std::ops::Range<usize>, axis: usize) -> Span {
        if steps.is_empty() && steps.start < self.time_us.len() {
            let before = steps.start.checked_sub(1)?;
            return self.at(before, 2, axis).map(|at| (at, at));
        }
        self.span(steps, 2, axis)
    }

    fn flown(&self, steps: std::ops::Range<usize>) -> Option<(Flies, bool)> {
        if steps.is_empty() {
            let before = steps.start.checked_sub(1)?;
            return (steps.start < self.flies.len()).then(|| (self.flies[before], false));
        }
        let flies = *self.flies.get(steps.end - 1)?;
        let from = steps.start.saturating_sub(1);
        Some((flies, self.flies[from..steps.end].iter().any(|one| *one != flies)))
    }
}
