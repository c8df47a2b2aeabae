//! Height lost in level flight against the delay: a curve for each bank, with the shares of the human and of the
//! electronics.

use super::curve::Panel;
use super::{in_metres, ms, name};
use crate::cost::delay::Reaction;
use crate::cost::fall::{Flight, Lift};
use crate::cost::page::short;
use crate::cost::{Cost, Question};
use crate::picture::canvas::{Align, Area, Canvas, Drawn, Lettering, Pen};
use crate::picture::palette::{BAND, BORDER, INK, INSTRUCTOR_STICK, QUIET, STUDENT, STUDENT_HATCH};
use crate::picture::scale::Scale;

/// The least length of the time scale, so that the curve is visible for short delays too.
const LEAST_S: f64 = 1.2;
const POINTS: u32 = 120;

pub(super) fn draw(canvas: &Canvas<'_>, top: f64, question: &Question) -> Drawn {
    let area = Area { left: 66.0, right: 500.0, top, bottom: top + 280.0 };
    let longest_s = LEAST_S.max(question.delay.whole().worst_s * 1.2);
    let deepest = question.lifts().map(|lift| lost(lift, longest_s)).fold(0.0, f64::max);
    let panel = Panel {
        area,
        across: Scale { from: 0.0, to: longest_s, at: area.left, until: area.right },
        // Downwards, like the fall.
        upright: Scale { from: 0.0, to: deepest, at: area.top, until: area.bottom },
        title: "Height lost in level flight, by bank (the speed does not matter)",
        unit_across: "seconds since the instructor saw it",
        unit_upright: "metres",
    };
    shade(canvas, &panel, question)?;
    panel.draw_ground(canvas, top - 50.0)?;
    borrowed(canvas, &panel)?;
    question.lifts().try_for_each(|lift| curve(canvas, &panel, lift, question))?;
    panel.draw_border(canvas)?;
    let names: Vec<(f64, String)> = question
        .lifts()
        .map(|lift| {
            let cost = Cost::of(&question.delay, |after_s| lost(lift, after_s));
            let [whole, electronics] = [cost.whole, cost.electronics()].map(in_metres);
            (lost(lift, longest_s), format!("{}: {whole} m, {electronics} by electronics", name(lift)))
        })
        .collect();
    panel.draw_names(canvas, &names)
}

fn lost(lift: Lift, after_s: f64) -> f64 {
    Flight::level(lift).height_lost_m(after_s)
}

/// Draws the time of the human in grey, then that of the electronics hatched, with their meanings above.
fn shade(canvas: &Canvas<'_>, panel: &Panel<'_>, question: &Question) -> Drawn {
    let (human_s, worst_s) = (question.delay.reaction_s, question.delay.whole().worst_s);
    let (area, from) = (panel.area, panel.across.place(human_s));
    let electronics = Area { left: from, right: panel.across.place(worst_s), ..area };
    canvas.block(Area { right: from, ..area }, BAND)?;
    canvas.block(electronics, STUDENT)?;
    canvas.hatch(electronics, 7.0, true, STUDENT_HATCH)?;
    let small = Lettering::new(12.0, INK);
    for (y, x, words) in [
        (area.top - 30.0, area.left, format!("grey: the human, {}", ms(human_s))),
        (
            area.top - 12.0,
            from,
            format!(
                "hatched: the electronics, {} at worst; at the dots the craft is the instructor's",
                ms(worst_s - human_s)
            ),
        ),
    ] {
        let x = x.min(area.right - small.width_of(&words)).max(area.left);
        canvas.words((x, y), &words, small)?;
    }
    Ok(())
}

/// Draws published reaction times that are on the scale, with their words where there is room.
fn borrowed(canvas: &Canvas<'_>, panel: &Panel<'_>) -> Drawn {
    let area = panel.area;
    let how = Lettering::new(11.5, QUIET).align(Align::Right);
    for reaction in [Reaction::Rotorcraft, Reaction::Road].into_iter().filter(|one| panel.across.holds(one.seconds())) {
        let x = panel.across.place(reaction.seconds());
        canvas.line([(x, area.top), (x, area.bottom)], BORDER)?;
        let words = format!("{} s: {}", short(reaction.seconds()), reaction.words().split(',').next().unwrap_or(""));
        if x - 4.0 - how.width_of(&words) > area.left {
            canvas.words((x - 4.0, area.bottom - 9.0), &words, how)?;
        }
    }
    Ok(())
}

/// Draws the fall, with a ring at the end of the human's time and a dot at the end of the electronics'.
fn curve(canvas: &Canvas<'_>, panel: &Panel<'_>, lift: Lift, question: &Question) -> Drawn {
    let place = |after_s| (panel.across.place(after_s), panel.upright.place(lost(lift, after_s)));
    let moments = (0..=POINTS).map(|point| panel.across.to * f64::from(point) / f64::from(POINTS));
    canvas.line(moments.map(place), INSTRUCTOR_STICK)?;
    canvas.ring(place(question.delay.reaction_s), 3.0, Pen::new(INK, 1.0))?;
    canvas.dot(place(question.delay.whole().worst_s), 3.0, INK)
}
