//! The histogram of the distances from the rest, with the normal distribution that the calculation assumes.

use super::super::canvas::{Align, Area, Canvas, Drawn, Lettering, Pen};
use super::super::palette::{BAR, INK, STUDENT_STICK};
use super::panel::{SMALL, across, beside, border, power, powers, ticks_below, title, upwards};
use crate::trace::Points;
use crate::tune::study::{Study, in_points};

/// A threshold beyond this many deviations is not shown, since it would compress the noise into a line.
const FAR: f64 = 12.0;
/// The least half range, in points.
const LEAST_REACH: f64 = 0.1;

pub(super) fn draw(canvas: &Canvas<'_>, area: Area, study: &Study) -> Drawn {
    let (rest, histogram) = (&study.rest, &study.histogram);
    title(canvas, area, "Frames by distance from the rest, points")?;
    let engage = study.thresholds().map(|thresholds| thresholds.engage);
    let furthest = histogram.bins().map(|(off, _)| off.abs() + histogram.width).fold(0.0, f64::max);
    let noise = (FAR * rest.deviation).max(furthest);
    let shown = engage.map(in_points).filter(|&engage| engage <= noise);
    let reach = furthest.max(4.5 * rest.deviation).max(LEAST_REACH).max(shown.unwrap_or(0.0) * 1.12);
    let x = across(area, -reach, reach);
    let most = f64::from(histogram.counts.iter().copied().max().unwrap_or(1)).max(10.0);
    let y = upwards(area, 0.5_f64.log10(), (most * 4.0).log10());
    let height = |count: f64| y.place(count.max(0.5).log10());
    for exponent in powers(1.0, most * 4.0, 4) {
        beside(canvas, area, y.place(exponent.into()), &power(exponent))?;
    }
    for (off, count) in histogram.bins().filter(|(_, count)| *count > 0) {
        let half = histogram.width / 2.0;
        let (left, right) = (x.place(off - half), x.place(off + half));
        let gap = if right - left > 3.0 { 0.5 } else { 0.0 };
        let bar = Area { left: left + gap, right: right - gap, top: height(count.into()), bottom: area.bottom };
        canvas.block(bar, BAR)?;
    }
    if rest.deviation > 0.0 {
        let all = histogram.counts.iter().copied().map(f64::from).sum::<f64>();
        let bell = |off: f64| {
            let z = off / rest.deviation;
            all * histogram.width / rest.deviation / std::f64::consts::TAU.sqrt() * (-z * z / 2.0).exp()
        };
        let places = (-120..=120).map(|n| reach * f64::from(n) / 120.0).filter(|&off| bell(off) >= 0.5);
        canvas.line(places.map(|off| (x.place(off), height(bell(off)))), STUDENT_STICK)?;
    }
    if let Some(engage) = shown {
        for off in [-engage, engage] {
            canvas.line([(x.place(off), area.top), (x.place(off), area.bottom)], Pen::new(INK, 1.25))?;
        }
    } else if let Some(engage) = engage {
        let words = format!("engage \u{b1}{} is outside", Points(engage));
        let how = Lettering::new(SMALL, INK).align(Align::Right);
        canvas.words((area.right - 5.0, area.top + 10.0), &words, how)?;
    }
    ticks_below(canvas, area, x, 6.0)?;
    border(canvas, area)
}
