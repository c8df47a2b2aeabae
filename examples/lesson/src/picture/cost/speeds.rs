//! Distance flown on, and height lost in a dive, against speed.

use super::curve::Panel;
use crate::cost::Question;
use crate::cost::fall::{Flight, Lift, distance_m};
use crate::cost::page::short;
use crate::picture::canvas::{Area, Canvas, Drawn, Lettering, Pen};
use crate::picture::palette::{INK, INSTRUCTOR_STICK, STUDENT_STICK};
use crate::picture::scale::Scale;

pub(super) fn draw(canvas: &Canvas<'_>, top: f64, question: &Question) -> Drawn {
    let (human_s, worst_s) = (question.delay.reaction_s, question.delay.whole().worst_s);
    let area = Area { left: 856.0, right: 1096.0, top, bottom: top + 280.0 };
    let fastest = question.speeds.last().copied().unwrap_or(0.0).max(1.0);
    let panel = Panel {
        area,
        across: Scale { from: 0.0, to: fastest * 1.1, at: area.left, until: area.right },
        upright: Scale { from: 0.0, to: distance_m(fastest * 1.1, worst_s).max(0.1), at: area.bottom, until: area.top },
        title: "Distance flown on, and height lost in a dive without bank",
        unit_across: "speed, metres a second",
        unit_upright: "metres",
    };
    panel.draw_ground(canvas, top - 50.0)?;
    canvas.words(
        (area.left - 44.0, top - 30.0),
        "thick: human and electronics; thin: the human alone",
        Lettering::new(12.0, INK),
    )?;

    let mut names = Vec::new();
    let mut curve = |name: String, pen: Pen, metres: &dyn Fn(f64, f64) -> f64| -> Drawn {
        for (after_s, weight) in [(human_s, 0.75), (worst_s, 2.0)] {
            let ends = [0.0, panel.across.to]
                .map(|speed| (panel.across.place(speed), panel.upright.place(metres(speed, after_s))));
            canvas.line(ends, Pen { weight, ..pen })?;
        }
        for &speed in &question.speeds {
            canvas.dot((panel.across.place(speed), panel.upright.place(metres(speed, worst_s))), 3.0, INK)?;
        }
        names.push((metres(panel.across.to, worst_s), name));
        Ok(())
    };
    curve("distance".into(), INSTRUCTOR_STICK, &distance_m)?;
    for &dive_deg in question.dives.iter().filter(|dive_deg| **dive_deg > 0.0) {
        let name = format!("height, dive {}\u{b0}", short(dive_deg));
        curve(name, STUDENT_STICK, &|speed_m_s, after_s| {
            Flight { speed_m_s, dive_deg, lift: Lift::Banked(0.0) }.height_lost_m(after_s)
        })?;
    }
    panel.draw_border(canvas)?;
    panel.draw_names(canvas, &names)
}
