//! The parts that both panels of curves share: a frame with ticks, and names at the ends of the curves that do not
//! overlap.

use crate::cost::page::short;
use crate::picture::canvas::{Align, Area, Canvas, Drawn, Lettering};
use crate::picture::palette::{BORDER, INK, MIDDLE, QUIET};
use crate::picture::scale::{Scale, multiples};

/// Least distance between the middles of two lines of words, in pixels.
const APART: f64 = 15.0;
const NAMES: Lettering = Lettering::new(12.0, INK);

/// A panel with its two scales and their units.
pub(super) struct Panel<'a> {
    pub(super) area: Area,
    pub(super) across: Scale,
    pub(super) upright: Scale,
    pub(super) title: &'a str,
    pub(super) unit_across: &'a str,
    pub(super) unit_upright: &'a str,
}

impl Panel<'_> {
    /// Draws the title, the ticks and the horizontal lines. It comes before the curves.
    pub(super) fn draw_ground(&self, canvas: &Canvas<'_>, above: f64) -> Drawn {
        let Area { left, right, bottom, .. } = self.area;
        canvas.words((left - 44.0, above), self.title, Lettering::new(13.5, INK).bold())?;
        let quiet = Lettering::new(11.5, QUIET);
        for value in multiples(0.0, self.upright.to, super::step(self.upright.to)) {
            let y = self.upright.place(value);
            canvas.line([(left, y), (right, y)], MIDDLE)?;
            canvas.words((left - 6.0, y), &short(value), quiet.align(Align::Right))?;
        }
        for value in multiples(0.0, self.across.to, super::step(self.across.to)) {
            let x = self.across.place(value);
            canvas.line([(x, bottom), (x, bottom + 5.0)], BORDER)?;
            canvas.words((x, bottom + 14.0), &short(value), quiet.align(Align::Middle))?;
        }
        canvas.words((left - 44.0, self.area.top - 14.0), self.unit_upright, quiet)?;
        canvas.words((right, bottom + 31.0), self.unit_across, quiet.align(Align::Right))
    }

    pub(super) fn draw_border(&self, canvas: &Canvas<'_>) -> Drawn {
        canvas.border(self.area, BORDER)
    }

    /// Draws the names to the right of the panel, each as near to the end of its curve as the others allow.
    pub(super) fn draw_names(&self, canvas: &Canvas<'_>, names: &[(f64, String)]) -> Drawn {
        let ends: Vec<f64> = names.iter().map(|(end, _)| self.upright.place(*end)).collect();
        for ((place, end), (_, words)) in spread(&ends, self.area.bottom).into_iter().zip(&ends).zip(names) {
            let x = self.area.right;
            canvas.line([(x, *end), (x + 12.0, place), (x + 16.0, place)], BORDER)?;
            canvas.words((x + 20.0, place), words, NAMES)?;
        }
        Ok(())
    }
}

/// Places at least one line apart, none below `lowest`, in the same order as the ends.
fn spread(ends: &[f64], lowest: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..ends.len()).collect();
    order.sort_by(|one, other| ends[*one].total_cmp(&ends[*other]));
    let mut places = ends.to_vec();
    let mut free = f64::NEG_INFINITY;
    for &curve in &order {
        places[curve] = places[curve].max(free);
        free = places[curve] + APART;
    }
    let mut free = lowest;
    for &curve in order.iter().rev() {
        places[curve] = places[curve].min(free);
        free = places[curve] - APART;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_keep_apart_and_in_order_however_close_their_curves_end() {
        for ends in [vec![100.0, 100.0, 100.0], vec![98.0, 20.0, 99.0, 21.0], vec![50.0], vec![]] {
            let places = spread(&ends, 100.0);
            for (one, end) in places.iter().zip(&ends) {
                assert!(*one <= 100.0);
                for (other, other_end) in places.iter().zip(&ends).filter(|(_, other_end)| *other_end > end) {
                    assert!(other - one >= APART - 1e-9, "{end} {other_end}: {places:?}");
                }
            }
            let mut sorted = places.clone();
            sorted.sort_by(f64::total_cmp);
            assert!(sorted.windows(2).all(|pair| pair[1] - pair[0] >= APART - 1e-9), "{places:?}");
        }
    }
}
