//! The frame of a panel: border, title and ticks.

use super::super::canvas::{Align, Area, Canvas, Drawn, Lettering};
use super::super::palette::{BORDER, INK, MIDDLE, QUIET};
use super::super::scale::{Scale, multiples, round_up};
use crate::tune::words::decade;

/// The size of small words.
pub(super) const SMALL: f64 = 11.5;

/// Draws the title above a panel.
pub(super) fn title(canvas: &Canvas<'_>, area: Area, words: &str) -> Drawn {
    canvas.words((area.left, area.top - 10.0), words, Lettering::new(12.0, INK))
}

pub(super) fn border(canvas: &Canvas<'_>, area: Area) -> Drawn {
    canvas.border(area, BORDER)
}

/// A linear scale over the width of a panel.
pub(super) fn across(area: Area, from: f64, to: f64) -> Scale {
    Scale { from, to, at: area.left, until: area.right }
}

/// A linear scale over the height of a panel, upwards.
pub(super) fn upwards(area: Area, from: f64, to: f64) -> Scale {
    Scale { from, to, at: area.bottom, until: area.top }
}

/// Draws ticks below the panel, at about `count` round numbers.
pub(super) fn ticks_below(canvas: &Canvas<'_>, area: Area, x: Scale, count: f64) -> Drawn {
    let step = round_up((x.to - x.from) / count);
    for at in multiples(x.from, x.to, step) {
        below(canvas, area, x.place(at), &plain(at, step))?;
    }
    Ok(())
}

/// Draws a tick below the panel.
pub(super) fn below(canvas: &Canvas<'_>, area: Area, x: f64, words: &str) -> Drawn {
    canvas.line([(x, area.bottom), (x, area.bottom + 4.0)], BORDER)?;
    canvas.words((x, area.bottom + 12.0), words, Lettering::new(SMALL, QUIET).align(Align::Middle))
}

/// Draws a tick at the left, and a faint horizontal line.
pub(super) fn beside(canvas: &Canvas<'_>, area: Area, y: f64, words: &str) -> Drawn {
    canvas.line([(area.left, y), (area.right, y)], MIDDLE)?;
    let y = y.clamp(area.top + 5.0, area.bottom - 4.0);
    canvas.words((area.left - 6.0, y), words, Lettering::new(SMALL, QUIET).align(Align::Right))
}

/// A multiple of a step, with as many decimals as the step.
pub(super) fn plain(at: f64, step: f64) -> String {
    let decimals = usize::try_from(-decade(step * 1.0001)).unwrap_or(0);
    let at = if at.abs() < step / 2.0 { 0.0 } else { at };
    format!("{at:.decimals$}")
}

/// A power of ten as text.
pub(super) fn power(exponent: i32) -> String {
    match exponent {
        0..=6 => crate::count::thousands(10_u64.pow(exponent.unsigned_abs())),
        -4..0 => format!("{:.*}", usize::try_from(-exponent).unwrap_or(0), 10_f64.powi(exponent)),
        _ => format!("1e{exponent}"),
    }
}

/// The exponents of the powers of ten from one value to another, about `most` of them at most.
pub(super) fn powers(from: f64, to: f64, most: i32) -> impl Iterator<Item = i32> {
    #[allow(clippy::cast_possible_truncation)] // a few hundred at most
    let (first, last) = (from.log10().ceil() as i32, to.log10().floor() as i32);
    let step = ((last - first) / most + 1).max(1);
    (first..=last).filter(move |exponent| exponent.rem_euclid(step) == 0)
}
