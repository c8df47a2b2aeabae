//! Converts readings to points, and finds their quantisation step.

use super::columns::Unit;
use super::options::Options;
use super::recording::Recording;
use super::rest::{AxisRest, smallest_step};

/// The conversion of the readings of one axis to points.
pub(super) struct Scale {
    pub(super) zero: f64,
    pub(super) per_point: f64,
    /// The step of whole units, in points; `None` where readings have decimals, or are in points.
    of_unit: Option<f64>,
}

impl Scale {
    /// The conversion of one axis, with the centre and the travel from the command line.
    pub(super) fn of(rest: &Recording, axis: usize, options: &Options) -> Self {
        let readings = &rest.axes[axis];
        let whole = readings.iter().all(|reading| reading.fract() == 0.0);
        match rest.units[axis] {
            Unit::Micros => {
                let said = options.centre.iter().find(|centre| centre.axis == rest.names[axis]);
                let zero = said.map_or(1500.0, |centre| centre.us);
                // The distance to the nearer end, so that no threshold is smaller than it looks.
                let per_point = (500.0 - (zero - 1500.0).abs()) / 100.0;
                Self { zero, per_point, of_unit: whole.then_some(1.0 / per_point) }
            }
            Unit::Points => Self { zero: 0.0, per_point: 1.0, of_unit: None },
            // A converter has no nominal centre, so the rest of the stick is the centre.
            Unit::Counts => {
                let zero = AxisRest::measure(readings).map_or(0.0, |rest| rest.mean);
                let per_point = options.full_travel.unwrap_or(100.0) / 100.0;
                Self { zero, per_point, of_unit: whole.then_some(1.0 / per_point) }
            }
        }
    }

    pub(super) fn points(&self, readings: &[f64]) -> Vec<f64> {
        readings.iter().map(|reading| (reading - self.zero) / self.per_point).collect()
    }

    /// The quantisation step in points: the smallest difference between two readings of the rest or of the sweep. Where
    /// none changed, it is one unit: a microsecond, or a count.
    pub(super) fn step(&self, rest: &[f64], sweep: Option<&[f64]>) -> Option<f64> {
        let seen = [Some(rest), sweep].into_iter().flatten().filter_map(smallest_step);
        seen.min_by(f64::total_cmp).or(self.of_unit)
    }
}
