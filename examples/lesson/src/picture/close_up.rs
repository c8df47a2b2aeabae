//! One takeover in close-up: frame by frame on the left, up to the hand back on the right, and in sentences below.

mod names;
mod notes;

use std::fmt;

use super::canvas::{Align, Area, Canvas, Drawn, Ink, Lettering, Pen, Point, shortened};
use super::palette::{
    BAND, BAND_EDGE, BORDER, INK, INSTRUCTOR, INSTRUCTOR_STICK, MIDDLE, OUTPUT_WEIGHT, QUIET, STUDENT, STUDENT_STICK,
    TAKEOVER,
};
use super::scale::{Scale, multiples, points, round_up, tick_label, time_step};
use super::{LEFT, RIGHT, UNIT_GAP};
use crate::count::seconds;
use crate::tally::{Cut, Shot, Tally};
use crate::timeline::clock;
use handback::Frame;
use notes::Moments;

/// Height of the close-up with its notes, in pixels.
pub(super) const HEIGHT: f64 = 50.0 + PANEL + 30.0 + 4.0 * NOTE + 12.0;
const PANEL: f64 = 180.0;
const NOTE: f64 = 17.0;
/// Number of frames on either side of the takeover in the left panel.
const FRAMES: usize = 10;
/// Width of the left panel, and distance from it to the right one.
const LEFT_PANEL: f64 = 400.0;
const GUTTER: f64 = 92.0;
/// Radius of the disc of a number.
const BADGE: f64 = 8.0;

/// A panel of the close-up.
struct View<'a, const N: usize> {
    area: Area,
    time: Scale,
    y: Scale,
    shots: &'a [Shot<N>],
    axis: usize,
    /// Whether every frame has a dot.
    dots: bool,
}

pub(super) fn draw<const N: usize>(canvas: &Canvas<'_>, top: f64, tally: &Tally<N>, cut: &Cut<N>) -> Drawn {
    let name = shortened(&tally.names()[usize::from(cut.axis)]);
    let reason = if cut.reason.is_empty() { String::new() } else { format!(" ({})", cut.reason) };
    let title = format!("The takeover at {} in close-up: {name} stick{reason}", clock(cut.taken_us));
    canvas.words((20.0, top + 14.0), &title, Lettering::new(15.0, INK).bold())?;

    let moments = Moments::of(tally, cut);
    let panel = Area { left: LEFT, right: LEFT + LEFT_PANEL, top: top + 50.0, bottom: top + 50.0 + PANEL };
    let near = view(panel, near(cut), cut, true);
    caption(canvas, &near, &frames_words(near.shots))?;
    band(canvas, &near, tally, cut, near.time.to)?;
    near.draw(canvas)?;
    for name in names::of(&near) {
        canvas.words((name.left, name.y), name.words, Lettering { ink: name.ink, ..names::LETTERING })?;
    }
    mark(canvas, &near, 1, seconds(cut.taken_us), near.area.left)?;
    near_ticks(canvas, &near, cut)?;

    let panel = Area { left: LEFT + LEFT_PANEL + GUTTER, right: RIGHT, ..panel };
    let far = view(panel, &cut.shots, cut, false);
    let shown =
        if cut.handed_us.is_some() { "from the takeover to the hand back" } else { "the takeover and what followed" };
    caption(canvas, &far, shown)?;
    band(canvas, &far, tally, cut, moments.let_go_us().map_or(far.time.to, seconds))?;
    far.draw(canvas)?;
    let mut badges_to = f64::NEG_INFINITY;
    for (number, at_us) in moments.numbered(cut) {
        badges_to = mark(canvas, &far, number, seconds(at_us), badges_to)?;
    }
    ticks(canvas, &far)?;

    let mut y = panel.bottom + 38.0;
    for (number, words) in moments.sentences(tally, cut) {
        badge(canvas, (LEFT + 8.0, y), number)?;
        canvas.words((LEFT + 22.0, y), &words, Lettering::new(12.5, INK))?;
        y += NOTE;
    }
    Ok(())
}

/// The rows around the takeover: up to [`FRAMES`] on either side.
fn near<const N: usize>(cut: &Cut<N>) -> &[Shot<N>] {
    let taken = cut.shots.iter().position(|shot| shot.time_us >= cut.taken_us).unwrap_or(0);
    let last = cut.shots.len().saturating_sub(1);
    let from = taken.saturating_sub(FRAMES).min(last);
    &cut.shots[from..cut.shots.len().min(taken + FRAMES + 1)]
}

fn view<'a, const N: usize>(area: Area, shots: &'a [Shot<N>], cut: &Cut<N>, dots: bool) -> View<'a, N> {
    let axis = usize::from(cut.axis);
    let of = |frame: &Frame<N>| points(frame.axes()[axis].to_bits());
    let rest = points(cut.rest_bits);
    let (mut low, mut high) = (rest - 4.0, rest + 4.0);
    for value in shots.iter().flat_map(|shot| [shot.instructor.as_ref(), shot.student.as_ref(), Some(&shot.output)]) {
        if let Some(value) = value.map(of) {
            (low, high) = (low.min(value), high.max(value));
        }
    }
    let air = (high - low) * 0.1;
    let y = Scale { from: low - air, to: high + air, at: area.bottom, until: area.top + 14.0 };
    let from = shots.first().map_or(0.0, |shot| seconds(shot.time_us));
    let to = shots.last().map_or(0.0, |shot| seconds(shot.time_us)).max(from + 0.001);
    let margin = if dots { 6.0 } else { 0.0 };
    let time = Scale { from, to, at: area.left + margin, until: area.right - margin };
    View { area, time, y, shots, axis, dots }
}

impl<const N: usize> View<'_, N> {
    fn place(&self, shot: &Shot<N>, frame: &Frame<N>) -> Point {
        (self.time.place(seconds(shot.time_us)), self.y.place(points(frame.axes()[self.axis].to_bits())))
    }

    fn draw(&self, canvas: &Canvas<'_>) -> Drawn {
        let weight = if self.dots { 9.0 } else { OUTPUT_WEIGHT + 1.5 };
        self.draw_output(canvas, weight)?;
        let student = self.shots.iter().filter_map(|shot| Some(self.place(shot, shot.student.as_ref()?)));
        let instructor = self.shots.iter().filter_map(|shot| Some(self.place(shot, shot.instructor.as_ref()?)));
        canvas.line(student.clone(), STUDENT_STICK)?;
        canvas.line(instructor.clone(), INSTRUCTOR_STICK)?;
        if self.dots {
            student.into_iter().try_for_each(|at| canvas.ring(at, 2.5, STUDENT_STICK))?;
            instructor.into_iter().try_for_each(|at| canvas.dot(at, 2.5, INSTRUCTOR_STICK.ink))?;
        }
        canvas.border(self.area, BORDER)
    }

    /// Draws the output in the colour of the pilot who flew the axis.
    fn draw_output(&self, canvas: &Canvas<'_>, weight: f64) -> Drawn {
        let students = |shot: &Shot<N>| u8::try_from(self.axis).is_ok_and(|axis| shot.pilot.student().contains(axis));
        // An output stays until the next one, so a change of pilot is a vertical line.
        let mut last: Option<Point> = None;
        for run in self.shots.chunk_by(|one, next| students(one) == students(next)) {
            let ink = if students(&run[0]) { STUDENT } else { INSTRUCTOR };
            let path: Vec<Point> = run.iter().map(|shot| self.place(shot, &shot.output)).collect();
            if let Some(((_, y), (x, _))) = last.zip(path.first().copied()) {
                let before = if students(&run[0]) { INSTRUCTOR } else { STUDENT };
                canvas.line(last.into_iter().chain([(x, y)]), Pen::new(before, weight))?;
                canvas.line([(x, y), path[0]], Pen::new(ink, weight))?;
            }
            last = path.last().copied();
            canvas.line(path, Pen::new(ink, weight))?;
        }
        Ok(())
    }
}

/// What a dot is, and how often one came.
fn frames_words<const N: usize>(shots: &[Shot<N>]) -> String {
    let mut gaps_us: Vec<u64> = shots.windows(2).map(|pair| pair[1].time_us.saturating_sub(pair[0].time_us)).collect();
    gaps_us.sort_unstable();
    let every = gaps_us.get(gaps_us.len() / 2).map_or(String::new(), |gap| format!(" every {} ms", gap / 1000));
    format!("every dot is a frame: the sticks, as they were sent{every}")
}

fn caption<const N: usize>(canvas: &Canvas<'_>, view: &View<'_, N>, words: &str) -> Drawn {
    canvas.words((view.area.left, view.area.top - 15.0), words, Lettering::new(12.0, QUIET))
}

/// Draws the dead band up to a time, and the ticks of the axis.
fn band<const N: usize>(canvas: &Canvas<'_>, view: &View<'_, N>, tally: &Tally<N>, cut: &Cut<N>, to_s: f64) -> Drawn {
    let rule = &tally.policy().axes[view.axis];
    let rest = points(cut.rest_bits);
    let fixed = matches!(rule.rest, handback::Rest::At(_));
    let right = if fixed { view.area.right } else { view.time.place(to_s) };
    let engage = points(rule.engage.to_bits());
    let area =
        Area { left: view.area.left, right, top: view.y.place(rest + engage), bottom: view.y.place(rest - engage) };
    canvas.block(area, BAND)?;
    canvas.level_edges(area, BAND_EDGE)?;
    // The tick step: a round number of points that gives few ticks.
    let step = round_up((view.y.to - view.y.from) / 5.0);
    for value in multiples(view.y.from, view.y.to, step) {
        let y = view.y.place(value);
        canvas.line([(view.area.left - 4.0, y), (view.area.left, y)], BORDER)?;
        let how = Lettering::new(11.5, QUIET).align(Align::Right);
        canvas.words((view.area.left - 7.0, y), &format!("{value:.0}"), how)?;
    }
    let middle = (view.area.left - 38.0, f64::midpoint(view.area.top, view.area.bottom));
    canvas.words(middle, "points", Lettering::new(12.0, QUIET).align(Align::Right))
}

/// Draws a line at a moment with its number above, to the right of earlier numbers. Returns the right end of the
/// number.
fn mark<const N: usize>(
    canvas: &Canvas<'_>,
    view: &View<'_, N>,
    number: u8,
    at_s: f64,
    from: f64,
) -> Result<f64, fmt::Error> {
    if !view.time.holds(at_s) {
        return Ok(from);
    }
    let x = view.time.place(at_s);
    canvas.line([(x, view.area.top + 8.0), (x, view.area.bottom)], TAKEOVER)?;
    let middle = x.max(from + BADGE).clamp(view.area.left + BADGE, view.area.right - BADGE);
    badge(canvas, (middle, view.area.top + 1.0), number)?;
    Ok(middle + BADGE)
}

fn badge(canvas: &Canvas<'_>, at: Point, number: u8) -> Drawn {
    canvas.dot(at, BADGE, INK)?;
    let white = Ink(255, 255, 255);
    canvas.words(at, &number.to_string(), Lettering::new(11.0, white).bold().align(Align::Middle))
}

/// Draws ticks in milliseconds from the takeover.
fn near_ticks<const N: usize>(canvas: &Canvas<'_>, view: &View<'_, N>, cut: &Cut<N>) -> Drawn {
    let taken = seconds(cut.taken_us);
    let (from, to) = (view.time.from - taken, view.time.to - taken);
    let step = time_step(to - from, 8.0);
    let how = Lettering::new(12.0, QUIET).align(Align::Middle);
    for after in multiples(from - 1e-9, to, step) {
        let x = view.time.place(after + taken);
        canvas.line([(x, view.area.bottom), (x, view.area.bottom + 5.0)], BORDER)?;
        let ms = (after * 1000.0).round();
        let words = if ms > 0.0 { format!("+{ms:.0}") } else { format!("{:.0}", ms + 0.0) };
        canvas.words((x, view.area.bottom + 13.0), &words, how)?;
    }
    canvas.words((view.area.left - UNIT_GAP, view.area.bottom + 13.0), "ms", how.align(Align::Right))
}

fn ticks<const N: usize>(canvas: &Canvas<'_>, view: &View<'_, N>) -> Drawn {
    let step = time_step(view.time.to - view.time.from, 9.0);
    let how = Lettering::new(12.0, QUIET).align(Align::Middle);
    for at_s in multiples(view.time.from, view.time.to, step) {
        let x = view.time.place(at_s);
        canvas.line([(x, view.area.bottom), (x, view.area.bottom + 5.0)], BORDER)?;
        canvas.words((x, view.area.bottom + 13.0), &tick_label(at_s, step), how)?;
    }
    canvas.line([(view.area.left, view.area.bottom), (view.area.right, view.area.bottom)], MIDDLE)?;
    canvas.words((view.area.left - UNIT_GAP, view.area.bottom + 13.0), "min:s", how.align(Align::Right))
}
