//! What stands above the picture: title, headline figures, and what the lines mean.

use super::canvas::{Area, Canvas, Drawn, Lettering, Pen, Point};
use super::palette::{
    BAND, HAND_BACK, INK, INSTRUCTOR, INSTRUCTOR_STICK, NOBODY, OUTPUT_WEIGHT, QUIET, STUDENT, STUDENT_STICK, TAKEOVER,
};
use crate::tally::Tally;
use crate::timeline::clock;

/// The lesson in one line.
pub(super) fn headline<const N: usize>(tally: &Tally<N>) -> String {
    let turns = &tally.turns;
    let share = turns.student_share() * 100.0;
    let mut said =
        vec![format!("student flew {} of {} ({share:.0} %)", clock(turns.student_us), clock(turns.lasted_us()))];
    let takeovers = &tally.takeovers;
    let false_ones = match takeovers.false_ones() {
        Some(0) => ", none of them false".to_owned(),
        Some(count) => format!(", {count} of them false"),
        None => String::new(),
    };
    said.push(match takeovers.count {
        0 => "no takeover".to_owned(),
        1 => format!("1 takeover{}", if takeovers.false_ones() == Some(1) { ", false" } else { "" }),
        count => format!("{count} takeovers{false_ones}"),
    });
    if let Some(worst) = tally.latency.frames.max() {
        said.push(match worst {
            0 => "the output followed the instructor's stick in the same frame, every time".to_owned(),
            1 => "the output followed the instructor's stick 1 frame later at worst".to_owned(),
            frames => format!("the output followed the instructor's stick {frames} frames later at worst"),
        });
    }
    if !tally.agreement.is_sound() {
        said.push("ENGINE AND REFERENCE DISAGREE: see the report".to_owned());
    }
    said.join("  \u{b7}  ")
}

pub(super) fn draw<const N: usize>(canvas: &Canvas<'_>, tally: &Tally<N>) -> Drawn {
    let left = 20.0;
    canvas.words((left, 24.0), tally.title(), Lettering::new(19.0, INK).bold())?;
    canvas.words((left, 47.0), &headline(tally), Lettering::new(13.0, INK))?;
    draw_key(canvas, (left, 72.0))
}

/// One row of samples with their meaning.
fn draw_key(canvas: &Canvas<'_>, (left, y): Point) -> Drawn {
    let how = Lettering::new(12.0, QUIET);
    let mut x = left;
    let samples: [(&str, &dyn Fn(f64) -> Drawn); 8] = [
        ("instructor's stick", &|x| flat(canvas, x, y, INSTRUCTOR_STICK)),
        ("student's stick", &|x| flat(canvas, x, y, STUDENT_STICK)),
        ("output, the student's", &|x| flat(canvas, x, y, Pen::new(STUDENT, OUTPUT_WEIGHT))),
        ("output, the instructor's", &|x| flat(canvas, x, y, Pen::new(INSTRUCTOR, OUTPUT_WEIGHT))),
        ("failsafe", &|x| flat(canvas, x, y, Pen::new(NOBODY, OUTPUT_WEIGHT))),
        ("dead band: a stick out of it takes over", &|x| {
            canvas.block(Area { left: x, right: x + 24.0, top: y - 6.0, bottom: y + 6.0 }, BAND)
        }),
        ("takeover", &|x| canvas.line([(x + 20.0, y - 8.0), (x + 20.0, y + 8.0)], TAKEOVER)),
        ("hand back", &|x| canvas.line([(x + 20.0, y - 8.0), (x + 20.0, y + 8.0)], HAND_BACK)),
    ];
    for (words, sample) in samples {
        sample(x)?;
        canvas.words((x + 30.0, y), words, how)?;
        x += 30.0 + how.width_of(words) + 2.0;
    }
    Ok(())
}

fn flat(canvas: &Canvas<'_>, x: f64, y: f64, pen: Pen) -> Drawn {
    canvas.line([(x, y), (x + 24.0, y)], pen)
}
