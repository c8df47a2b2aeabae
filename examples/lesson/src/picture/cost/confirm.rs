//! The delay of the electronics as a bar for each `confirm`, and the metres that it adds.

use super::{in_metres, ms, name};
use crate::cost::delay::{Delay, Part};
use crate::cost::fall::{Flight, Lift, distance_m};
use crate::cost::page::short;
use crate::cost::{Cost, Question};
use crate::picture::canvas::{Align, Area, Canvas, Drawn, Ink, Lettering, Pen};
use crate::picture::palette::{BORDER, FAINT, INK, INSTRUCTOR, NOBODY, QUIET, STUDENT};
use crate::picture::scale::Scale;

const ROW: f64 = 26.0;
const HEAD: f64 = 62.0;
const LEFT: f64 = 120.0;
const RIGHT: f64 = 540.0;
/// The right edge of the first column of metres, and the distance to the next one.
const COLUMNS: f64 = 672.0;
const COLUMN: f64 = 84.0;
/// The widest text of a column, in pixels.
const WIDEST: f64 = 66.0;

/// The values of `confirm` that are shown: 1 to 4, and the given one.
fn confirms(question: &Question) -> Vec<u8> {
    let mut confirms = vec![1, 2, 3, 4];
    if !confirms.contains(&question.delay.confirm) {
        confirms.push(question.delay.confirm);
    }
    confirms
}

fn rows_high(question: &Question) -> f64 {
    confirms(question).iter().map(|_| ROW).sum()
}

/// The height of the whole chart with the margin below it, in pixels.
pub(super) fn height(question: &Question) -> f64 {
    HEAD + rows_high(question) + 52.0
}

pub(super) fn draw(canvas: &Canvas<'_>, top: f64, question: &Question) -> Drawn {
    canvas.words(
        (20.0, top),
        "What each frame of confirm costs: the electronics' delay at worst, and what it adds in metres to the human's",
        Lettering::new(13.5, INK).bold(),
    )?;
    let delays: Vec<Delay> =
        confirms(question).into_iter().map(|confirm| Delay { confirm, ..question.delay }).collect();
    let longest_s = delays.iter().map(|delay| delay.electronics().worst_s).fold(0.0, f64::max);
    let across = Scale { from: 0.0, to: longest_s, at: LEFT, until: RIGHT };
    head(canvas, top + 40.0, question)?;
    for (row, delay) in (0_u8..).zip(&delays) {
        let y = top + HEAD + ROW * f64::from(row);
        let given = delay.confirm == question.delay.confirm;
        let how = Lettering { bold: given, ..Lettering::new(12.5, INK) };
        let name = format!("confirm {}", delay.confirm);
        canvas.words((LEFT - 10.0, y), &name, how.align(Align::Right))?;
        bar(canvas, y, delay, across)?;
        let cells = [ms(delay.electronics().worst_s)].into_iter().chain(added(delay, question));
        cells.zip(columns()).try_for_each(|(cell, x)| canvas.words((x, y), &cell, how.align(Align::Right)))?;
    }
    key(canvas, top + HEAD + rows_high(question) + 4.0, &question.delay)
}

fn columns() -> impl Iterator<Item = f64> {
    (0_u8..).map(|column| COLUMNS + COLUMN * f64::from(column) - if column == 0 { 40.0 } else { 0.0 })
}

/// The banks that lose height, and the case without lift.
fn falling(question: &Question) -> impl Iterator<Item = Lift> + '_ {
    question.lifts().filter(|lift| *lift != Lift::Banked(0.0))
}

fn head(canvas: &Canvas<'_>, y: f64, question: &Question) -> Drawn {
    let fastest = question.speeds.last().map(|speed| format!("{} m/s", short(*speed)));
    let names = ["electronics".into()].into_iter().chain(falling(question).map(name)).chain(fastest);
    let how = Lettering::new(11.5, QUIET).align(Align::Right);
    let heights = falling(question).count();
    for (first, last, words) in [(1, heights, "height, metres"), (heights + 1, heights + 1, "flown on")] {
        if let (Some(from), Some(to)) = (columns().nth(first), columns().nth(last)) {
            let from = from - WIDEST;
            canvas.words((f64::midpoint(from, to), y - 19.0), words, how.align(Align::Middle))?;
            canvas.line([(from, y - 9.0), (to, y - 9.0)], BORDER)?;
        }
    }
    names.zip(columns()).try_for_each(|(name, x)| canvas.words((x, y), &name, how))
}

/// Metres that the electronics add: height in level flight, then distance at the highest speed.
fn added<'a>(delay: &'a Delay, question: &'a Question) -> impl Iterator<Item = String> + 'a {
    let heights = falling(question).map(|lift| Cost::of(delay, |after_s| Flight::level(lift).height_lost_m(after_s)));
    let fastest = question.speeds.last().map(|speed| Cost::of(delay, |after_s| distance_m(*speed, after_s)));
    heights.chain(fastest).map(|cost| in_metres(cost.electronics()))
}

/// The colour of a part, and the direction of its hatching (true: rising).
fn look(part: Part) -> (Ink, Option<bool>) {
    match part {
        Part::NextFrame => (STUDENT, Some(true)),
        Part::Confirm => (INSTRUCTOR, None),
        Part::Link => (FAINT, None),
        Part::OutputFrame => (FAINT, Some(false)),
    }
}

fn block(canvas: &Canvas<'_>, area: Area, part: Part) -> Drawn {
    let (ink, hatched) = look(part);
    canvas.block(area, ink)?;
    if let Some(rising) = hatched {
        canvas.hatch(area, 7.0, rising, Pen::new(NOBODY, 0.5))?;
    }
    canvas.border(area, Pen::new(INK, 0.5))
}

/// Draws the parts one after the other. Frames of `confirm` are separate pieces up to a `confirm` of 9.
fn bar(canvas: &Canvas<'_>, y: f64, delay: &Delay, across: Scale) -> Drawn {
    let mut from_s = 0.0;
    for part in Part::ALL {
        let lasts_s = delay.part(part).worst_s;
        let pieces = if part == Part::Confirm && delay.confirm <= 9 { delay.confirm - 1 } else { 1 };
        for _ in 0..pieces {
            let to_s = from_s + lasts_s / f64::from(pieces);
            if to_s > from_s {
                let area =
                    Area { left: across.place(from_s), right: across.place(to_s), top: y - 9.0, bottom: y + 9.0 };
                block(canvas, area, part)?;
            }
            from_s = to_s;
        }
    }
    Ok(())
}

/// Draws the key to the pieces of the bars.
fn key(canvas: &Canvas<'_>, y: f64, delay: &Delay) -> Drawn {
    let how = Lettering::new(12.0, QUIET);
    let mut x = LEFT;
    for part in Part::ALL.into_iter().filter(|part| *part != Part::OutputFrame || delay.output_frame_s > 0.0) {
        let words = match part {
            Part::NextFrame => format!("the next frame: 0 to {}", ms(delay.frame_s)),
            Part::Confirm => format!("each frame more to confirm: {}", ms(delay.frame_s)),
            Part::Link => format!("links, box and servo: {}", ms(delay.link_s)),
            Part::OutputFrame => format!("the next frame out: 0 to {}", ms(delay.output_frame_s)),
        };
        block(canvas, Area { left: x, right: x + 24.0, top: y - 6.0, bottom: y + 6.0 }, part)?;
        canvas.words((x + 30.0, y), &words, how)?;
        x += 30.0 + how.width_of(&words) + 10.0;
    }
    Ok(())
}
