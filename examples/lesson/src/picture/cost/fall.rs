//! Height lost in level flight against the delay, a curve for each bank, with the human's part and the electronics'.

use plotters::style::RGBColor;
use plotters::style::text_anchor::HPos;

use super::curve::Panel;
use super::ms;
use crate::cost::Question;
use crate::cost::delay::Reaction;
use crate::cost::fall::{Flight, Lift};
use crate::cost::page::short;
use crate::picture::canvas::{Area, Canvas, Drawn, Lettering, Pen};
use crate::picture::palette::{BAND, BORDER, INK, INSTRUCTOR_STICK, QUIET, STUDENT, STUDENT_HATCH};
use crate::picture::scale::Scale;

/// The human's time.
const HUMAN: RGBColor = BAND;
/// The electronics' time, hatched too.
const ELECTRONICS: RGBColor = STUDENT;
/// The shortest delay that is drawn, so that fast boxes have a curve to look at.
const LEAST_S: f64 = 1.2;
const POINTS: u32 = 120;

pub(super) fn draw(canvas: &Canvas<'_>, top: f64, question: &Question) -> Drawn {
    let delay = &question.delay;
    let (human_s, worst_s) = (delay.reaction_s, delay.whole().worst_s);
    let area = Area { left: 66.0, right: 520.0, top, bottom: top + 280.0 };
    let longest_s = LEAST_S.max(worst_s * 1.2);
    let lost = |lift, after_s| Flight::level(lift).height_lost_m(after_s);
    let deepest = question.lifts().map(|lift| lost(lift, longest_s)).fold(0.0, f64::max);
    let panel = Panel {
        area,
        across: Scale { from: 0.0, to: longest_s, at: area.left, until: area.right },
        // Downwards, as the craft goes.
        upright: Scale { from: 0.0, to: deepest, at: area.top, until: area.bottom },
        title: "Height lost in level flight, by bank (the speed does not matter)",
        unit_across: "seconds since the instructor saw it",
        unit_upright: "metres",
    };

    let (from, to) = (panel.across.place(human_s), panel.across.place(worst_s));
    let electronics = Area { left: from, right: to, ..area };
    canvas.block(Area { left: area.left, right: from, ..area }, HUMAN)?;
    canvas.block(electronics, ELECTRONICS)?;
    canvas.hatch(electronics, 7.0, true, STUDENT_HATCH)?;
    panel.draw_ground(canvas, top - 50.0)?;
    let small = Lettering::new(12.0, INK);
    for (y, x, words) in [
        (top - 30.0, area.left, format!("grey: the human, {}", ms(human_s))),
        (
            top - 12.0,
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

    for reaction in [Reaction::Rotorcraft, Reaction::Road].into_iter().filter(|one| one.seconds() < longest_s) {
        let x = panel.across.place(reaction.seconds());
        canvas.line([(x, area.top), (x, area.bottom)], BORDER)?;
        let words = format!("{} s: {}", short(reaction.seconds()), reaction.words().split(',').next().unwrap_or(""));
        canvas.words((x - 4.0, area.bottom - 9.0), &words, Lettering::new(11.5, QUIET).align(HPos::Right))?;
    }

    let mut names: Vec<(f64, String)> = Vec::new();
    for lift in question.lifts() {
        let moments = (0..=POINTS).map(|point| longest_s * f64::from(point) / f64::from(POINTS));
        canvas.line(
            moments.map(|after_s| (panel.across.place(after_s), panel.upright.place(lost(lift, after_s)))),
            INSTRUCTOR_STICK,
        )?;
        let [human, whole] = [human_s, worst_s].map(|after_s| panel.upright.place(lost(lift, after_s)));
        canvas.ring((from, human), 3.0, Pen::new(INK, 1.0))?;
        canvas.dot((to, whole), 3.0, INK)?;
        let name = match lift {
            Lift::Banked(deg) => format!("bank {}\u{b0}", short(deg)),
            Lift::None => "no lift".into(),
        };
        names.push((
            lost(lift, longest_s),
            format!(
                "{name}: {:.2} m, {:.2} by electronics",
                lost(lift, worst_s),
                lost(lift, worst_s) - lost(lift, human_s)
            ),
        ));
    }
    panel.draw_border(canvas)?;
    panel.draw_names(canvas, &names)
}
