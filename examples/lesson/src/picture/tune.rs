//! The picture of the recommended thresholds. For each axis it shows the noise, its spectrum, the rate of false
//! takeovers against the threshold, and the wait that `confirm` adds.

mod histogram;
mod latency;
mod legend;
mod panel;
mod rates;
mod spectrum;

use std::fmt;

use super::canvas::{Area, Canvas, Drawn, Lettering, dressed, shortened};
use super::caution;
use super::palette::{INK, MIDDLE, QUIET};
use crate::trace::Points;
use crate::tune::Tuning;
use crate::tune::study::Study;
use crate::tune::words::{bandwidth, two_digits};

const WIDTH: f64 = 1280.0;
const LEFT: f64 = 20.0;
const RIGHT: f64 = WIDTH - 24.0;
/// Height of title, headline and key, in pixels.
const HEAD: f64 = 124.0;
/// Height of one axis: its line of words, the titles of its panels, the panels, and their ticks.
const ROW: f64 = 262.0;
const PANEL_TOP: f64 = 54.0;
const PANEL_HEIGHT: f64 = 150.0;
/// The left and right edges of the panels of a row.
const PANELS: [[f64; 2]; 4] = [[58.0, 312.0], [372.0, 606.0], [702.0, 1040.0], [1112.0, RIGHT]];

/// The picture as SVG.
pub(crate) fn svg(tuning: &Tuning) -> Result<String, fmt::Error> {
    let mut rows = 0.0;
    tuning.axes.iter().for_each(|_| rows += ROW);
    let size = (WIDTH, (HEAD + rows + caution::HEIGHT).ceil());
    let mut svg = String::new();
    let canvas = Canvas::new(&mut svg, size)?;
    legend::draw(&canvas, tuning)?;
    let mut top = HEAD;
    for study in &tuning.axes {
        row(&canvas, top, study)?;
        top += ROW;
    }
    caution::draw(&canvas, top)?;
    canvas.finish()?;
    Ok(dressed(&svg, size, &legend::title(tuning), &format!("{}.", legend::headline(tuning))))
}

/// Draws one axis.
fn row(canvas: &Canvas<'_>, top: f64, study: &Study) -> Drawn {
    canvas.line([(LEFT, top), (RIGHT, top)], MIDDLE)?;
    let name = Lettering::new(15.0, INK).bold();
    let said = format!("{}: {}", shortened(&study.name), study.word());
    canvas.words((LEFT, top + 17.0), &said, name)?;
    canvas.words((LEFT + name.width_of(&said) + 14.0, top + 17.5), &summary(study), Lettering::new(13.0, QUIET))?;
    let [histogram, spectrum, rates, latency] = PANELS.map(|[left, right]| {
        let top = top + PANEL_TOP;
        Area { left, right, top, bottom: top + PANEL_HEIGHT }
    });
    histogram::draw(canvas, histogram, study)?;
    spectrum::draw(canvas, spectrum, study)?;
    rates::draw(canvas, rates, study)?;
    latency::draw(canvas, latency, study)
}

/// The axis in one line.
fn summary(study: &Study) -> String {
    let rest = &study.rest;
    let mut said = Vec::new();
    if let Some(thresholds) = study.thresholds() {
        let (engage, release) = (Points(thresholds.engage), Points(thresholds.release));
        said.push(format!("engage {engage}, release {release}, confirm {}", thresholds.confirm));
    }
    said.push(match study.centre_counts {
        Some(counts) => format!("rests at {counts:.1} counts"),
        None => format!("rests at {:+.2} points", rest.mean),
    });
    said.push(format!("noise {:.3} points (rms), {:.2} peak to peak", rest.deviation, rest.high - rest.low));
    said.push(if rest.shows_drift() { format!("drift {:.2}", rest.drift) } else { "drift not known".to_owned() });
    let worth = two_digits(study.independent().max(1.0));
    said.push(format!("{}, {worth} independent frames", bandwidth(rest).0));
    said.join(super::legend::DOT)
}
