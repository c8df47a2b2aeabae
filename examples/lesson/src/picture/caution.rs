//! The caution below every picture.

use super::canvas::{Canvas, Drawn, Lettering};
use super::palette::INK;
use crate::caution::CAUTION;

const LEFT: f64 = 20.0;
const LINE: f64 = 17.0;

/// Height of all lines and the margin below them, in pixels.
pub(super) const HEIGHT: f64 = 3.0 * LINE + 12.0;

/// Draws it below `top`.
pub(super) fn draw(canvas: &Canvas<'_>, top: f64) -> Drawn {
    let levels = (0_u8..).map(|line| top + LINE * (f64::from(line) + 0.5));
    levels.zip(CAUTION).try_for_each(|(y, line)| canvas.words((LEFT, y), line, Lettering::new(12.5, INK).bold()))
}
