//! The power spectrum of the noise. White noise follows the horizontal line; slow noise is above it at the left.

use super::super::canvas::{Align, Area, Canvas, Drawn, Lettering, Pen};
use super::super::palette::{INSTRUCTOR_STICK, QUIET, STUDENT_STICK};
use super::panel::{SMALL, across, below, beside, border, power, powers, title, upwards};
use crate::tune::study::Study;
use crate::tune::words::two_digits;

/// The fewest decades of power on the scale.
const LEAST_DECADES: f64 = 2.0;

pub(super) fn draw(canvas: &Canvas<'_>, area: Area, study: &Study) -> Drawn {
    title(canvas, area, "Noise power by frequency, points\u{b2} per Hz")?;
    let lines = &study.spectrum.lines;
    let (Some(&(first, _)), Some(&(last, _))) = (lines.first(), lines.last()) else { return border(canvas, area) };
    let x = across(area, first.log10(), last.log10());
    for exponent in powers(first, last, 6) {
        below(canvas, area, x.place(exponent.into()), &power(exponent))?;
    }
    let end = format!("{} Hz", two_digits(last));
    let how = Lettering::new(SMALL, QUIET).align(Align::Right);
    canvas.words((area.right + 12.0, area.bottom + 12.0), &end, how)?;
    let white = study.spectrum.white;
    if white <= 0.0 {
        let words = "no noise: the readings never changed";
        canvas.words((area.left + 8.0, area.top + 16.0), words, Lettering::new(SMALL, QUIET))?;
        return border(canvas, area);
    }
    let powers_seen = lines.iter().map(|(_, power)| *power).filter(|power| *power > 0.0);
    let (low, high) = powers_seen.fold((white, white), |(low, high), power| (power.min(low), power.max(high)));
    // Power below a ten-thousandth of white noise is cut off.
    let low = low.max(white * 1e-4).log10() - 0.2;
    let high = (high.log10() + 0.2).max(low + LEAST_DECADES);
    let y = upwards(area, low, high);
    for exponent in powers(10_f64.powf(low), 10_f64.powf(high), 4) {
        beside(canvas, area, y.place(exponent.into()), &power(exponent))?;
    }
    canvas.line([area.left, area.right].map(|x| (x, y.place(white.log10()))), STUDENT_STICK)?;
    let curve = lines.iter().map(|(at, power)| (x.place(at.log10()), y.place(power.max(1e-300).log10())));
    canvas.line(curve, Pen { weight: 1.0, ..INSTRUCTOR_STICK })?;
    border(canvas, area)
}
