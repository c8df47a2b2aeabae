//! The picture of a lesson: who had control, both sticks, the output, the height, and a takeover in close-up.
//!
//! It is one SVG. An instructor who does not know the code can read it at a glance, in colour and in grey.

mod canvas;
mod caution;
mod close_up;
mod columns;
pub(crate) mod cost;
mod legend;
mod marks;
mod palette;
mod panels;
mod scale;
mod strip;
pub(crate) mod tune;

use std::fmt;

use crate::count::seconds;
use crate::tally::Tally;
use canvas::{Align, Area, Canvas, Drawn, Lettering, dressed};
use marks::Marks;
use palette::{BORDER, MIDDLE, QUIET};
use scale::{Scale, multiples, tick_label, time_step};

const WIDTH: f64 = 1280.0;
const LEFT: f64 = 168.0;
const RIGHT: f64 = WIDTH - 24.0;
/// Height of title, headline and key, in pixels.
const HEAD: f64 = 106.0;
/// Distance between panels.
const GAP: f64 = 7.0;
/// With more axes than this, panels are lower and curves coarser.
const MANY_AXES: usize = 6;
/// Height of the time ticks and their labels.
const TICKS: f64 = 28.0;
/// From the edge of a panel to the end of the unit of its time ticks: half of a long label, and a margin.
const UNIT_GAP: f64 = 32.0;

/// The properties that all panels of the lesson share.
struct Plot {
    left: f64,
    right: f64,
    /// Seconds to pixels.
    time: Scale,
}

/// The picture of a lesson as SVG.
pub(crate) fn svg<const N: usize>(tally: &Tally<N>) -> Result<String, fmt::Error> {
    let (first_us, last_us) = tally.turns.span_us.unwrap_or((0, 0));
    let (from, to) = (seconds(first_us), seconds(last_us).max(seconds(first_us) + 0.001));
    let plot = Plot { left: LEFT, right: RIGHT, time: Scale { from, to, at: LEFT, until: RIGHT } };
    let marks = Marks::of(tally, &plot);
    let cut = tally.close_up.cut();
    let rows = Rows::of(tally, &marks, cut.is_ok());

    let mut svg = String::new();
    let size = (WIDTH, (rows.caution + caution::HEIGHT).ceil());
    let canvas = Canvas::new(&mut svg, size)?;
    legend::draw(&canvas, tally)?;
    draw_lesson(&canvas, &plot, &rows, &marks, tally)?;
    match cut {
        Ok(cut) => close_up::draw(&canvas, rows.close_up, tally, &cut)?,
        Err(why) => {
            let words = format!("No takeover in close-up: {why}.");
            canvas.words((20.0, rows.close_up + 14.0), &words, Lettering::new(12.5, QUIET))?;
        }
    }
    caution::draw(&canvas, rows.caution)?;
    canvas.finish()?;
    Ok(dressed(&svg, size, tally.title(), &format!("{}.", legend::headline(tally).join(legend::DOT))))
}

/// The vertical positions of all parts, in pixels from the top.
struct Rows {
    strip: f64,
    axes: f64,
    axis_height: f64,
    height: f64,
    ticks: f64,
    close_up: f64,
    caution: f64,
}

impl Rows {
    fn of<const N: usize>(tally: &Tally<N>, marks: &Marks, has_close_up: bool) -> Self {
        let strip = HEAD + marks.height();
        let axes = strip + strip::HEIGHT + 13.0;
        let axis_height = if N <= MANY_AXES { 86.0 } else { 60.0 };
        #[allow(clippy::cast_precision_loss)] // at most 16 axes
        let height = axes + (axis_height + GAP) * N as f64;
        let ticks = height + if tally.rescues.known { 86.0 } else { 0.0 };
        let close_up = ticks + TICKS;
        let caution = close_up + if has_close_up { close_up::HEIGHT } else { 28.0 };
        Self { strip, axes, axis_height, height, ticks, close_up, caution }
    }
}

/// Draws the strip, the panels and the time ticks.
fn draw_lesson<const N: usize>(
    canvas: &Canvas<'_>,
    plot: &Plot,
    rows: &Rows,
    marks: &Marks,
    tally: &Tally<N>,
) -> Drawn {
    let (_, last_us) = tally.turns.span_us.unwrap_or((0, 0));
    let most = if N <= MANY_AXES { 2048 } else { 1024 };
    let columns = columns::columns(&tally.curves, most, last_us);

    marks.draw_lines(canvas, rows.strip + strip::HEIGHT, rows.ticks)?;
    marks.draw_words(canvas, rows.strip)?;
    if marks.unsaid > 0 {
        let more = format!("{} more cause{}", marks.unsaid, if marks.unsaid == 1 { "" } else { "s" });
        aside(canvas, rows.strip - 24.0, &more)?;
        aside(canvas, rows.strip - 11.0, "counted in the report")?;
    }
    strip::draw(canvas, plot, rows.strip, tally, &columns)?;
    if !marks.has_lines() {
        let below = rows.strip + strip::HEIGHT;
        let with_takeovers = columns.iter().filter(|column| column.bucket.takeovers > 0);
        marks::draw_ticks(canvas, plot, below + 3.0, with_takeovers.map(|column| column.from_s))?;
        aside(canvas, below + 5.5, "takeovers")?;
    }

    let mut top = rows.axes;
    for axis in 0..N {
        let area = Area { left: LEFT, right: RIGHT, top, bottom: top + rows.axis_height };
        panels::axis(canvas, plot, area, tally, &columns, axis)?;
        top += rows.axis_height + GAP;
    }
    if tally.rescues.known {
        let area = Area { left: LEFT, right: RIGHT, top: rows.height, bottom: rows.ticks };
        panels::height(canvas, plot, area, &columns)?;
    }
    draw_time(canvas, plot, rows.ticks)
}

/// Draws small words beside the strip.
fn aside(canvas: &Canvas<'_>, y: f64, words: &str) -> Drawn {
    canvas.words((LEFT - 10.0, y), words, Lettering::new(11.5, QUIET).align(Align::Right))
}

/// Draws the time ticks below the last panel.
fn draw_time(canvas: &Canvas<'_>, plot: &Plot, top: f64) -> Drawn {
    let Scale { from, to, .. } = plot.time;
    let step = time_step(to - from, 16.0);
    for at_s in multiples(from, to, step) {
        let x = plot.time.place(at_s);
        canvas.line([(x, top), (x, top + 5.0)], BORDER)?;
        canvas.words((x, top + 13.0), &tick_label(at_s, step), Lettering::new(12.0, QUIET).align(Align::Middle))?;
    }
    canvas.words((LEFT - UNIT_GAP, top + 13.0), "min:s", Lettering::new(12.0, QUIET).align(Align::Right))?;
    canvas.line([(plot.left, top), (plot.right, top)], MIDDLE)
}

#[cfg(test)]
mod tests;
