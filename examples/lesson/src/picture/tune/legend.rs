//! The text above the picture: title, headline, and the key to the marks.

use super::super::canvas::{Area, Canvas, Drawn, Lettering, Pen};
use super::super::legend::DOT;
use super::super::palette::{BAR, CONFIRM, INK, QUIET, STUDENT_STICK, UNSEEN_HATCH};
use super::LEFT;
use crate::tune::Tuning;
use crate::tune::words::{lasted, two_digits};

pub(super) fn title(tuning: &Tuning) -> String {
    format!("Thresholds from sticks at rest, {}", tuning.title)
}

/// The recording, the target, and the axes that do not hold it.
pub(super) fn headline(tuning: &Tuning) -> String {
    let Tuning { lasted_s, pace, hours_apart, watched, .. } = tuning;
    let failed = tuning.axes.iter().filter(|study| study.is_watched() && study.thresholds().is_none());
    let failed = failed.map(|study| study.name.as_str()).collect::<Vec<_>>();
    let margins = tuning.axes.iter().filter(|study| study.thresholds().is_some_and(|found| found.doubt.is_some()));
    let held = match failed.as_slice() {
        [] => match margins.map(|study| study.name.as_str()).collect::<Vec<_>>().as_slice() {
            [] => "held".to_owned(),
            names if names.len() > 3 => format!("no rate claimed for {} axes", names.len()),
            names => format!("no rate claimed for {}", names.join(", ")),
        },
        names if names.len() > 4 => format!("not held by {} axes", names.len()),
        names => format!("not held by {}", names.join(", ")),
    };
    let together = if *watched == 1 { String::new() } else { format!(", {watched} axes together") };
    [
        format!("{} at rest, {} frames a second", lasted(*lasted_s), two_digits(1.0 / pace.frame_s)),
        format!("target: at most one takeover by noise in {hours_apart} hours{together}: {held}"),
    ]
    .join(DOT)
}

pub(super) fn draw(canvas: &Canvas<'_>, tuning: &Tuning) -> Drawn {
    canvas.words((LEFT, 24.0), &title(tuning), Lettering::new(19.0, INK).bold())?;
    canvas.words((LEFT, 47.0), &headline(tuning), Lettering::new(13.0, INK))?;
    let [one, two, three] = CONFIRM;
    key(
        canvas,
        72.0,
        &[
            ("calculated: confirm 1", &|x, y| flat(canvas, x, y, Pen::new(one, 1.5))),
            ("confirm 2", &|x, y| flat(canvas, x, y, Pen::new(two, 1.5))),
            ("confirm 3", &|x, y| flat(canvas, x, y, Pen::new(three, 1.5))),
            ("off its rest by drift and spring", &|x, y| {
                canvas.line([(x, y), (x + 10.0, y)], Pen::new(one, 1.25))?;
                canvas.line([(x + 14.0, y), (x + 24.0, y)], Pen::new(one, 1.25))
            }),
            ("95 % bounds, lower and upper, for a recording of this length", &|x, y| {
                canvas.shade([(x, y - 6.0), (x + 24.0, y - 6.0), (x + 24.0, y + 6.0), (x, y + 6.0)], one, 0.22)
            }),
        ],
    )?;
    key(
        canvas,
        96.0,
        &[
            ("counted, with 95 % (if independent)", &|x, y| {
                canvas.line([(x + 14.0, y - 8.0), (x + 14.0, y + 8.0)], Pen::new(one, 1.0))?;
                canvas.dot((x + 14.0, y), 2.6, one)
            }),
            ("too rare for this recording", &|x, y| {
                let area = Area { left: x, right: x + 24.0, top: y - 7.0, bottom: y + 7.0 };
                canvas.hatch(area, 8.0, true, UNSEEN_HATCH)?;
                canvas.border(area, UNSEEN_HATCH)
            }),
            ("recommended", &|x, y| {
                canvas.line([(x + 14.0, y - 9.0), (x + 14.0, y + 9.0)], Pen::new(INK, 1.25))?;
                canvas.dot((x + 14.0, y), 4.0, one)
            }),
            ("frames", &|x, y| {
                canvas.block(Area { left: x + 4.0, right: x + 20.0, top: y - 6.0, bottom: y + 6.0 }, BAR)
            }),
            ("normal, or white, noise of this size", &|x, y| flat(canvas, x, y, STUDENT_STICK)),
            ("wait: least, average, worst", &|x, y| {
                canvas.line([(x + 14.0, y - 8.0), (x + 14.0, y + 8.0)], Pen::new(one, 5.0))?;
                canvas.dot((x + 14.0, y), 4.5, one)
            }),
        ],
    )
}

/// A sample of a mark and its meaning.
type Sample<'a> = (&'a str, &'a dyn Fn(f64, f64) -> Drawn);

/// Draws one row of samples with their meanings.
fn key(canvas: &Canvas<'_>, y: f64, samples: &[Sample<'_>]) -> Drawn {
    let how = Lettering::new(12.0, QUIET);
    let mut x = LEFT;
    for (words, sample) in samples {
        sample(x, y)?;
        canvas.words((x + 30.0, y), words, how)?;
        x += 30.0 + how.width_of(words) + 24.0;
    }
    Ok(())
}

fn flat(canvas: &Canvas<'_>, x: f64, y: f64, pen: Pen) -> Drawn {
    canvas.line([(x, y), (x + 24.0, y)], pen)
}
