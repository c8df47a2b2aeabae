//! From what was read to points, and the step in which it is read.

use super::columns::Unit;
use super::recording::Recording;
use super::rest::{AxisRest, smallest_step};
use crate::cli::Tune;

/// From what was read to points.
pub(super) struct Scale {
    pub(super) zero: f64,
    pub(super) per_point: f64,
    /// The step that the unit has by itself, in points.
    of_unit: Option<f64>,
}

impl Scale {
    /// Of one axis, with the centre and the travel that the command line says.
    pub(super) fn of(rest: &Recording, axis: usize, words: &Tune) -> Self {
        let readings = &rest.axes[axis];
        let whole = readings.iter().all(|reading| reading.fract() == 0.0);
        match rest.units[axis] {
            Unit::Micros => {
                let said = words.centre.iter().find(|centre| centre.axis == rest.names[axis]);
                let zero = said.map_or(1500.0, |centre| centre.us);
                // To the nearer end, so that a threshold is never smaller than it looks.
                let per_point = (500.0 - (zero - 1500.0).abs()) / 100.0;
                Self { zero, per_point, of_unit: whole.then_some(1.0 / per_point) }
            }
            Unit::Points => Self { zero: 0.0, per_point: 1.0, of_unit: None },
            // A converter has no nominal centre: it is where the stick rests.
            Unit::Counts => {
                let zero = AxisRest::measure(readings).map_or(0.0, |rest| rest.mean);
                let per_point = words.full_travel.unwrap_or(100.0) / 100.0;
                Self { zero, per_point, of_unit: whole.then_some(1.0 / per_point) }
            }
        }
    }

    pub(super) fn points(&self, readings: &[f64]) -> Vec<f64> {
        readings.iter().map(|reading| (reading - self.zero) / self.per_point).collect()
    }

    /// The quantisation step, in points: the smallest difference between readings of the sweep and of the rest. Where
    /// there is no sweep and the rest never changed, the step of the unit: a microsecond, or a count.
    pub(super) fn step(&self, rest: &[f64], sweep: Option<&[f64]>) -> Option<f64> {
        let seen = [Some(rest), sweep].into_iter().flatten().filter_map(smallest_step);
        seen.min_by(f64::total_cmp).or(self.of_unit)
    }
}
