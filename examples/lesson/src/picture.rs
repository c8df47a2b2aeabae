//! The picture of a lesson: who had control, both sticks, what went out and how high it flew, and one takeover in close-up.
//!
//! One SVG, drawn to be read at a glance by an instructor who never saw the code, in colour and in grey.

mod canvas;
mod close_up;
mod columns;
mod legend;
mod marks;
mod palette;
mod panels;
mod scale;
mod strip;

use std::error::Error;
use std::fs;
use std::path::Path;

use plotters::style::text_anchor::HPos;

use crate::tally::Tally;
use canvas::{Area, Canvas, Drawn, Lettering, dressed};
use marks::Marks;
use palette::{BORDER, MIDDLE, QUIET};
use scale::{Scale, multiples, seconds, tick_label, time_step};

const WIDTH: f64 = 1280.0;
const LEFT: f64 = 168.0;
const RIGHT: f64 = WIDTH - 24.0;
/// Title, headline and key.
const HEAD: f64 = 88.0;
/// Between panels.
const GAP: f64 = 7.0;
/// The ticks of time and their labels.
const TICKS: f64 = 28.0;

/// What all panels of the lesson have in common.
struct Plot {
    left: f64,
    right: f64,
    /// Seconds to pixels.
    time: Scale,
}

/// Writes the picture of a lesson to a file.
///
/// # Errors
/// When the file cannot be written.
pub(crate) fn draw<const N: usize>(path: &Path, tally: &Tally<N>) -> Result<(), Box<dyn Error>> {
    Ok(fs::write(path, svg(tally)?)?)
}

/// The picture of a lesson as SVG.
fn svg<const N: usize>(tally: &Tally<N>) -> Result<String, Box<dyn Error>> {
    let mut svg = String::new();
    let size = (WIDTH, height_of(tally));
    let canvas = Canvas::new(&mut svg, size)?;
    draw_on(&canvas, tally)?;
    canvas.finish()?;
    Ok(dressed(&svg, size, tally.title(), &legend::headline(tally)))
}

/// Where the panels are, from above.
struct Layout {
    strip: f64,
    axes: f64,
    axis_height: f64,
    height: f64,
    height_height: f64,
    ticks: f64,
    close_up: f64,
    end: f64,
}

fn layout<const N: usize>(tally: &Tally<N>) -> Layout {
    let strip = HEAD + marks::HEIGHT;
    let axes = strip + strip::HEIGHT + GAP + 6.0;
    let axis_height = if N <= 6 { 86.0 } else { 60.0 };
    #[allow(clippy::cast_precision_loss)] // at most 16 axes
    let height = axes + (axis_height + GAP) * N as f64;
    let height_height = if tally.rescues.known { 86.0 } else { 0.0 };
    let ticks = height + height_height;
    let close_up = ticks + TICKS;
    let end = close_up + if tally.close_up.cut().is_some() { close_up::HEIGHT } else { 4.0 };
    Layout { strip, axes, axis_height, height, height_height, ticks, close_up, end }
}

fn height_of<const N: usize>(tally: &Tally<N>) -> f64 {
    layout(tally).end.ceil()
}

fn draw_on<const N: usize>(canvas: &Canvas<'_>, tally: &Tally<N>) -> Drawn {
    let at = layout(tally);
    let (first_us, last_us) = tally.turns.span_us.unwrap_or((0, 0));
    let (from, to) = (seconds(first_us), seconds(last_us).max(seconds(first_us) + 0.001));
    let plot = Plot { left: LEFT, right: RIGHT, time: Scale { from, to, at: LEFT, until: RIGHT } };
    let most = if N <= 6 { 2048 } else { 1024 };
    let columns = columns::columns(&tally.curves, most, last_us);
    let marks = Marks::of(tally);

    legend::draw(canvas, &plot, tally)?;
    let unsaid = marks.draw_words(canvas, &plot, at.strip)?;
    if unsaid > 0 {
        let words = format!("{unsaid} more causes: see the report");
        let how = Lettering::new(10.5, QUIET).align(HPos::Right);
        canvas.words((LEFT - 10.0, at.strip - 10.0), &words, how)?;
    }
    strip::draw(canvas, &plot, at.strip, &columns)?;
    if !marks.has_lines() {
        let with_takeovers = columns.iter().filter(|column| column.bucket.takeovers > 0);
        marks::draw_ticks(canvas, &plot, at.strip + strip::HEIGHT + 1.0, with_takeovers.map(|column| column.from_s))?;
    }

    let mut top = at.axes;
    for axis in 0..N {
        let area = Area { left: LEFT, right: RIGHT, top, bottom: top + at.axis_height };
        panels::axis(canvas, &plot, area, tally, &columns, axis)?;
        top += at.axis_height + GAP;
    }
    if at.height_height > 0.0 {
        let area = Area { left: LEFT, right: RIGHT, top: at.height, bottom: at.height + at.height_height };
        panels::height(canvas, &plot, area, &columns)?;
    }
    marks.draw_lines(canvas, &plot, at.strip, at.ticks)?;
    draw_time(canvas, &plot, at.ticks)?;
    match tally.close_up.cut() {
        Some(cut) => close_up::draw(canvas, at.close_up, tally, &cut),
        None => Ok(()),
    }
}

/// The ticks of time below the last panel.
fn draw_time(canvas: &Canvas<'_>, plot: &Plot, top: f64) -> Drawn {
    let Scale { from, to, .. } = plot.time;
    let step = time_step(to - from, 16.0);
    for at_s in multiples(from, to, step) {
        let x = plot.time.place(at_s);
        canvas.line([(x, top), (x, top + 5.0)], BORDER)?;
        canvas.words((x, top + 13.0), &tick_label(at_s, step), Lettering::new(11.0, QUIET).align(HPos::Center))?;
    }
    canvas.words((LEFT - 10.0, top + 13.0), "min:s", Lettering::new(11.0, QUIET).align(HPos::Right))?;
    canvas.line([(plot.left, top), (plot.right, top)], MIDDLE)
}
