//! The rate of false takeovers against the threshold: calculated with its confidence band, counted, and the target.

use super::super::canvas::{Area, Canvas, Drawn, Lettering, Pen};
use super::super::palette::{CONFIRM, FAINT, INK, QUIET, UNSEEN_HATCH};
use super::super::scale::Scale;
use super::panel::{SMALL, across, beside, border, powers, ticks_below, title, upwards};
use crate::count::thousands;
use crate::trace::Points;
use crate::tune::counted::poisson_band;
use crate::tune::study::{Counted, Study, Thresholds, in_points, reach};
use crate::tune::words::two_digits;

/// Number of intervals along a curve.
const PLACES: u32 = 44;
/// The smallest threshold that is shown, in deviations of the noise.
const LEAST_DEVIATIONS: f64 = 0.7;
/// The lowest rate that is shown, as a share of the target.
const BELOW_THE_TARGET: f64 = 1e-2;

/// The scales of a panel: points across, the logarithm of takeovers per hour upwards.
struct Plot {
    area: Area,
    x: Scale,
    y: Scale,
}

impl Plot {
    fn rate(&self, per_hour: f64) -> f64 {
        self.y.place(per_hour.max(1e-300).log10())
    }

    fn floor(&self) -> f64 {
        10_f64.powf(self.y.from)
    }
}

pub(super) fn draw(canvas: &Canvas<'_>, area: Area, study: &Study) -> Drawn {
    title(canvas, area, "Takeovers by noise against engage, points")?;
    let engage = study.thresholds().map_or(0.0, |thresholds| in_points(thresholds.engage));
    let reach = reach(study.needs, study.target.least.max(engage));
    let target = study.target.per_frame() * 3600.0 / study.target.frame_s;
    let most = 3600.0 / study.target.frame_s;
    let y = upwards(area, (target * BELOW_THE_TARGET).log10(), most.log10() + 0.3);
    let plot = Plot { area, x: across(area, 0.0, reach), y };

    unseen(canvas, &plot, study)?;
    for exponent in powers(plot.floor(), most * 2.0, 5) {
        beside(canvas, area, y.place(exponent.into()), &an_hour(exponent))?;
    }
    let doubt = study.thresholds().and_then(|thresholds| thresholds.doubt);
    if study.rest.deviation > 0.0 {
        if doubt.is_none() {
            for confirm in [3, 2, 1] {
                curve(canvas, &plot, study, confirm)?;
            }
        }
        for confirm in [3, 2, 1] {
            dots(canvas, &plot, study, confirm)?;
        }
    } else {
        let words = "no curves: the readings never changed";
        canvas.words((area.left + 8.0, area.top + 16.0), words, Lettering::new(SMALL, QUIET))?;
    }
    if study.target.most < reach {
        let x = plot.x.place(study.target.most);
        canvas.line([(x, area.top), (x, area.bottom)], Pen::new(FAINT, 2.5))?;
        canvas.words((x + 6.0, area.top + 10.0), "largest allowed", Lettering::new(SMALL, QUIET))?;
    }
    canvas.line([area.left, area.right].map(|x| (x, plot.rate(target))), Pen::new(INK, 1.0))?;
    let words = format!("target: 1 in {} h", two_digits(1.0 / target));
    canvas.words((area.left + 5.0, plot.rate(target) - 8.0), &words, Lettering::new(SMALL, INK))?;
    if let Some(thresholds) = study.thresholds() {
        mark(canvas, &plot, study, thresholds)?;
    }
    ticks_below(canvas, area, plot.x, 8.0)?;
    border(canvas, area)
}

/// Hatches the rates at which the recording is expected to have fewer than three takeovers (the rule of three: common
/// practice, no source).
fn unseen(canvas: &Canvas<'_>, plot: &Plot, study: &Study) -> Drawn {
    let frames = f64::from(u32::try_from(study.rest.frames).unwrap_or(u32::MAX));
    let least = 3.0 * 3600.0 / (frames * study.target.frame_s);
    let area = Area { top: plot.rate(least), ..plot.area };
    canvas.hatch(area, 8.0, true, UNSEEN_HATCH)
}

/// Draws a curve with its band.
fn curve(canvas: &Canvas<'_>, plot: &Plot, study: &Study, confirm: u8) -> Drawn {
    let ink = CONFIRM[usize::from(confirm) - 1];
    // Below the smallest threshold, nearly every frame is beyond it, and rows do not end.
    let from = (LEAST_DEVIATIONS * study.rest.deviation).min(plot.x.to / 2.0);
    let places = (0..=PLACES).map(|n| from + (plot.x.to - from) * f64::from(n) / f64::from(PLACES));
    let along = |off: f64| {
        let expected = places.clone().map(|engage| (engage, study.expected(engage, confirm, off, 1.0)));
        on_scale(plot, expected)
    };
    let at_rest = along(0.0);
    // Noise larger by a factor has the same rate at a threshold larger by the same factor.
    let edge = |factor: f64| {
        let stretched = move |engage: f64| plot.x.place(engage * factor);
        at_rest.iter().map(move |&(engage, per_hour)| (stretched(engage), plot.rate(per_hour)))
    };
    let [low, _] = study.rest.band();
    let most = on_scale(plot, places.clone().map(|engage| (engage, study.most(engage, confirm, 0.0))));
    let most = most.into_iter().map(|(engage, per_hour)| (plot.x.place(engage), plot.rate(per_hour)));
    canvas.shade(most.chain(edge(low).rev()), ink, 0.22)?;
    canvas.line(edge(1.0), Pen::new(ink, 1.5))?;
    if study.offset() > 0.0 {
        let left_off = along(1.0).into_iter().map(|(engage, per_hour)| (plot.x.place(engage), plot.rate(per_hour)));
        for dash in left_off.collect::<Vec<_>>().windows(2).step_by(2) {
            canvas.line(dash.iter().copied(), Pen::new(ink, 1.25))?;
        }
    }
    Ok(())
}

/// The points of a curve down to the lowest rate of the scale; its end is interpolated.
fn on_scale(plot: &Plot, along: impl Iterator<Item = (f64, f64)>) -> Vec<(f64, f64)> {
    let mut points: Vec<(f64, f64)> = Vec::new();
    for (engage, per_hour) in along {
        if per_hour >= plot.floor() {
            points.push((engage, per_hour));
            continue;
        }
        if let Some(&(before, above)) = points.last() {
            // Linear interpolation on the logarithmic scale.
            let [above, floor, below] = [above, plot.floor(), per_hour.max(1e-300)].map(f64::log10);
            points.push((before + (engage - before) * (above - floor) / (above - below), plot.floor()));
            break;
        }
        // No point yet: a stick further off its rest than the threshold is held all the time and does not take again.
    }
    points
}

/// Draws the takeovers that the engine counted in the recording.
fn dots(canvas: &Canvas<'_>, plot: &Plot, study: &Study, confirm: u8) -> Drawn {
    let ink = CONFIRM[usize::from(confirm) - 1];
    let frames = f64::from(u32::try_from(study.rest.frames).unwrap_or(u32::MAX));
    let hours = frames * study.target.frame_s / 3600.0;
    let least = (LEAST_DEVIATIONS * study.rest.deviation).max(study.rest.step);
    let shown = |counted: &&Counted| (least..=plot.x.to).contains(&counted.engage);
    for counted in study.counts[usize::from(confirm) - 1].iter().filter(shown) {
        let x = plot.x.place(counted.engage);
        let [low, high] = poisson_band(counted.takeovers).map(|count| plot.rate(count / hours));
        canvas.line([(x, low), (x, high)], Pen::new(ink, 1.0))?;
        let at = (x, plot.rate(f64::from(u32::try_from(counted.takeovers).unwrap_or(u32::MAX)) / hours));
        canvas.dot(at, 2.6, ink)?;
    }
    Ok(())
}

/// Draws the chosen thresholds.
fn mark(canvas: &Canvas<'_>, plot: &Plot, study: &Study, thresholds: Thresholds) -> Drawn {
    let Thresholds { engage, confirm, .. } = thresholds;
    let x = plot.x.place(in_points(engage));
    let pen = Pen::new(INK, 1.25);
    canvas.line([(x, plot.area.top), (x, plot.area.bottom)], pen)?;
    let mut said = vec![format!("engage {}", Points(engage)), format!("confirm {confirm}")];
    if thresholds.doubt.is_some() {
        said.push("margin, no rate".to_owned());
    } else {
        let expected = study.expected(in_points(engage), confirm, 1.0, 1.0).max(plot.floor());
        let at = (x, plot.rate(expected).min(plot.area.bottom - 4.0));
        canvas.dot(at, 4.0, CONFIRM[usize::from(confirm) - 1])?;
        canvas.ring(at, 4.0, pen)?;
    }
    let mut y = plot.area.top + 10.0;
    for words in said {
        canvas.words((x + 6.0, y), &words, Lettering::new(12.0, INK).bold())?;
        y += 15.0;
    }
    Ok(())
}

/// A power of ten of takeovers per hour, as text.
fn an_hour(exponent: i32) -> String {
    let ten = |exponent: u32| if exponent > 6 { format!("1e{exponent}") } else { thousands(10_u64.pow(exponent)) };
    if exponent >= 0 {
        format!("{} an hour", ten(exponent.unsigned_abs()))
    } else {
        format!("1 in {} h", ten(exponent.unsigned_abs()))
    }
}
