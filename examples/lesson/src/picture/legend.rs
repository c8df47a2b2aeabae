//! The text above the picture: title, headline figures, and the key to the lines.

use super::canvas::{Area, Canvas, Drawn, Lettering, Pen, Point};
use super::palette::{
    BAND, BAND_EDGE, HAND_BACK, INK, INSTRUCTOR, INSTRUCTOR_STICK, NOBODY, OUTPUT_WEIGHT, QUIET, STUDENT,
    STUDENT_STICK, TAKEOVER,
};
use crate::tally::Tally;
use crate::timeline::{clock, listed};

/// The separator between the parts of the headline.
pub(super) const DOT: &str = "  \u{b7}  ";

/// The lesson in two lines: who flew, and how the takeovers went.
pub(super) fn headline<const N: usize>(tally: &Tally<N>) -> [String; 2] {
    [flown(tally), handled(tally)].map(|said| said.join(DOT))
}

/// The student's time, and the number of takeovers.
fn flown<const N: usize>(tally: &Tally<N>) -> Vec<String> {
    let turns = &tally.turns;
    let mut said = vec![format!(
        "student flew {} of {} ({} %)",
        clock(turns.student_us),
        clock(turns.lasted_us()),
        turns.student_percent()
    )];
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
    said
}

/// The latency of takeovers, the waits for a stick, and errors of the engine.
fn handled<const N: usize>(tally: &Tally<N>) -> Vec<String> {
    let mut said = Vec::new();
    if let Some(worst) = tally.latency.frames.max() {
        said.push(match worst {
            0 => "the craft was the instructor's in the same frame, every time".to_owned(),
            1 => "the craft was the instructor's 1 frame later at worst".to_owned(),
            frames => format!("the craft was the instructor's {frames} frames later at worst"),
        });
    }
    let pickups = &tally.pickups;
    if let Some(worst_ms) = pickups.lasted_ms.max() {
        let tenths = (worst_ms + 50) / 100;
        let worst = format!("{}.{} s", tenths / 10, tenths % 10);
        let names = listed(pickups.axes, tally.names());
        said.push(match pickups.count() {
            1 => format!("{names} waited once to be picked up, for {worst}"),
            count => format!("{names} waited {count} times to be picked up, {worst} at worst"),
        });
    }
    if !tally.agreement.agrees() {
        said.push("ENGINE AND REFERENCE DISAGREE: see the report".to_owned());
    }
    if !tally.agreement.announces() {
        said.push("ANNOUNCEMENTS ARE WRONG: see the report".to_owned());
    }
    said
}

pub(super) fn draw<const N: usize>(canvas: &Canvas<'_>, tally: &Tally<N>) -> Drawn {
    let left = 20.0;
    canvas.words((left, 24.0), tally.title(), Lettering::new(19.0, INK).bold())?;
    for (y, words) in [46.0, 64.0].into_iter().zip(headline(tally)) {
        canvas.words((left, y), &words, Lettering::new(13.0, INK))?;
    }
    draw_key(canvas, (left, 90.0))
}

/// Draws one row of samples with their meanings.
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
            let area = Area { left: x, right: x + 24.0, top: y - 6.0, bottom: y + 6.0 };
            canvas.block(area, BAND)?;
            canvas.level_edges(area, BAND_EDGE)
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
