//! One panel per axis, with both sticks, the dead band and the output; and one panel of height.

use super::Plot;
use super::canvas::{Align, Area, Canvas, Drawn, Ink, Lettering, Pen, Point, shortened};
use super::columns::{Column, Path, in_points};
use super::palette::{
    BAND, BAND_EDGE, BORDER, GROUND, GROUND_HATCH, HEIGHT, INK, INSTRUCTOR, INSTRUCTOR_STICK, MIDDLE, NOBODY,
    OUTPUT_WEIGHT, QUIET, STUDENT, STUDENT_STICK,
};
use super::scale::{Scale, points, round_up};
use crate::tally::{Bucket, Span, Tally};
use handback::Rest;

/// A longer time without frames, in seconds, leaves a gap in the line of a stick.
const SILENCE_S: f64 = 0.5;

/// Draws the panel of one axis.
pub(super) fn axis<const N: usize>(
    canvas: &Canvas<'_>,
    plot: &Plot,
    area: Area,
    tally: &Tally<N>,
    columns: &[Column<N>],
    axis: usize,
) -> Drawn {
    let reach = reach(columns, axis);
    let y = Scale { from: -reach, to: reach, at: area.bottom - 3.0, until: area.top + 3.0 };
    label(canvas, area, &tally.names()[axis], "points", &[-reach, 0.0, reach], y)?;
    dead_band(canvas, plot, tally, columns, axis, y)?;
    canvas.line([(area.left, y.place(0.0)), (area.right, y.place(0.0))], MIDDLE)?;
    output(canvas, plot, columns, axis, y)?;
    stick(canvas, plot, columns, y, STUDENT_STICK, |bucket| bucket.student[axis])?;
    stick(canvas, plot, columns, y, INSTRUCTOR_STICK, |bucket| bucket.instructor[axis])?;
    canvas.border(area, BORDER)
}

/// Draws the panel of height above ground.
pub(super) fn height<const N: usize>(canvas: &Canvas<'_>, plot: &Plot, area: Area, columns: &[Column<N>]) -> Drawn {
    let highest = columns.iter().map(|column| f64::from(column.bucket.height.high)).fold(1.0, f64::max);
    let top = round_up(highest);
    let ground = Scale { from: 0.0, to: top, at: area.bottom - 8.0, until: area.top + 3.0 };
    label(canvas, area, "height", "metres", &[0.0, top], ground)?;
    let soil = Area { top: ground.place(0.0), ..area };
    canvas.block(soil, GROUND)?;
    canvas.hatch(soil, 5.0, true, GROUND_HATCH)?;
    let mut path = Path::default();
    for column in columns.iter().filter(|column| !column.bucket.height.is_empty()) {
        let span = column.bucket.height;
        path.touch(plot.time.place(column.from_s), (f64::from(span.low), f64::from(span.high)), ground);
    }
    canvas.line(path.points, HEIGHT)?;
    canvas.border(area, BORDER)
}

/// The smallest round range, in points, that holds all curves of an axis.
fn reach<const N: usize>(columns: &[Column<N>], axis: usize) -> f64 {
    let widest = columns
        .iter()
        .flat_map(|Column { bucket, .. }| [bucket.instructor[axis], bucket.student[axis], bucket.output[axis]])
        .filter_map(in_points)
        .fold(0.0, |widest: f64, (low, high)| widest.max(-low).max(high));
    [25.0, 50.0, 75.0, 100.0, 125.0, 150.0].into_iter().find(|reach| *reach >= widest - 0.5).unwrap_or(200.0)
}

fn label(canvas: &Canvas<'_>, area: Area, name: &str, unit: &str, ticks: &[f64], y: Scale) -> Drawn {
    let middle = f64::midpoint(area.top, area.bottom);
    let right = area.left - 42.0;
    canvas.words((right, middle - 7.0), &shortened(name), Lettering::new(13.0, INK).bold().align(Align::Right))?;
    canvas.words((right, middle + 8.0), unit, Lettering::new(12.0, QUIET).align(Align::Right))?;
    for &tick in ticks {
        let words = if tick > 0.0 && ticks.len() > 2 { format!("+{tick}") } else { format!("{tick}") };
        let at = y.place(tick).clamp(area.top + 6.0, area.bottom - 6.0);
        canvas.words((area.left - 6.0, at), &words, Lettering::new(11.5, QUIET).align(Align::Right))?;
    }
    Ok(())
}

/// Draws the dead band. With a fixed rest it covers the whole lesson; otherwise it is about the rest, while the student
/// flew.
fn dead_band<const N: usize>(
    canvas: &Canvas<'_>,
    plot: &Plot,
    tally: &Tally<N>,
    columns: &[Column<N>],
    axis: usize,
    y: Scale,
) -> Drawn {
    let policy = tally.policy();
    if !u8::try_from(axis).is_ok_and(|axis| policy.watched.contains(axis)) {
        return Ok(());
    }
    let engage = points(policy.axes[axis].engage.to_bits());
    let band = |left: f64, right: f64, low: f64, high: f64| {
        let area = Area { left, right, top: y.place(high + engage), bottom: y.place(low - engage) };
        canvas.block(area, BAND)?;
        canvas.level_edges(area, BAND_EDGE)
    };
    if let Rest::At(rest) = policy.axes[axis].rest {
        let rest = points(rest.to_bits());
        return band(plot.left, plot.right, rest, rest);
    }
    let mut run: Option<(f64, f64, Span<i16>)> = None;
    for column in columns {
        let span = column.bucket.rest[axis];
        match &mut run {
            Some((_, to, same)) if *same == span => *to = column.to_s,
            _ => {
                let over = run.replace((column.from_s, column.to_s, span));
                draw_run(over, plot, band)?;
            }
        }
    }
    draw_run(run, plot, band)
}

fn draw_run(run: Option<(f64, f64, Span<i16>)>, plot: &Plot, band: impl Fn(f64, f64, f64, f64) -> Drawn) -> Drawn {
    let Some((from_s, to_s, span)) = run else { return Ok(()) };
    let Some((low, high)) = in_points(span) else { return Ok(()) };
    band(plot.time.place(from_s), plot.time.place(to_s), low, high)
}

/// Draws the output in the colour of the pilot who flew the axis. An output stays until the next one, so a change of
/// pilot is a vertical line, as in the close-up.
fn output<const N: usize>(canvas: &Canvas<'_>, plot: &Plot, columns: &[Column<N>], axis: usize, y: Scale) -> Drawn {
    let mut path = Path::default();
    let mut ink = INSTRUCTOR;
    for column in columns {
        let Some(span) = in_points(column.bucket.output[axis]) else { continue };
        let next = whose(&column.bucket, axis);
        let x = plot.time.place(column.from_s);
        if next != ink {
            let changing = path.points.last().map(|&(_, y)| (x, y));
            path.points.extend(changing);
            canvas.line(std::mem::take(&mut path.points), Pen::new(ink, OUTPUT_WEIGHT))?;
            path.points.extend(changing);
            ink = next;
        }
        path.touch(x, span, y);
    }
    canvas.line(path.points, Pen::new(ink, OUTPUT_WEIGHT))
}

/// The colour of the pilot of an axis at the end of a bucket. It is that of nobody where nobody flew for most of the
/// bucket.
fn whose<const N: usize>(bucket: &Bucket<N>, axis: usize) -> Ink {
    let [student, instructor, nobody] = bucket.flown;
    if u8::try_from(axis).is_ok_and(|axis| bucket.student_axes.contains(axis)) {
        STUDENT
    } else if nobody > student.saturating_add(instructor) {
        NOBODY
    } else {
        INSTRUCTOR
    }
}

fn stick<const N: usize>(
    canvas: &Canvas<'_>,
    plot: &Plot,
    columns: &[Column<N>],
    y: Scale,
    pen: Pen,
    of: impl Fn(&Bucket<N>) -> Span<i16>,
) -> Drawn {
    let mut path = Path::default();
    let mut heard_s = f64::NEG_INFINITY;
    for column in columns {
        let Some(span) = in_points(of(&column.bucket)) else { continue };
        if column.from_s - heard_s > SILENCE_S.max(2.0 * (column.to_s - column.from_s)) {
            let unbroken: Vec<Point> = std::mem::take(&mut path.points);
            canvas.line(unbroken, pen)?;
        }
        path.touch(plot.time.place(column.from_s), span, y);
        heard_s = column.to_s;
    }
    canvas.line(path.points, pen)
}
