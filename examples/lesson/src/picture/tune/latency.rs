//! The effect of `confirm`: the wait of a takeover, and the threshold that is needed.

use super::super::canvas::{Align, Area, Canvas, Drawn, Lettering, Pen};
use super::super::palette::{CONFIRM, INK, QUIET};
use super::super::scale::{multiples, round_up};
use super::panel::{SMALL, across, below, beside, border, plain, title, upwards};
use crate::trace::Points;
use crate::tune::advice::Refused;
use crate::tune::study::{Study, Verdict, up};

pub(super) fn draw(canvas: &Canvas<'_>, area: Area, study: &Study) -> Drawn {
    title(canvas, area, "Wait of a takeover, ms")?;
    let frame_ms = study.target.frame_s * 1000.0;
    let (x, y) = (across(area, 0.4, 3.6), upwards(area, 0.0, 3.5 * frame_ms));
    let step = round_up(frame_ms * 3.5 / 5.0);
    for at in multiples(0.0, y.to, step) {
        beside(canvas, area, y.place(at), &plain(at, step))?;
    }
    let chosen = study.thresholds().map(|thresholds| thresholds.confirm);
    for confirm in 1..=3_u8 {
        let ink = CONFIRM[usize::from(confirm) - 1];
        let at = x.place(confirm.into());
        // The stick passes the threshold up to one frame before the first frame that shows it.
        let [least, mean, worst] = [1.0, 0.5, 0.0].map(|early| y.place((f64::from(confirm) - early) * frame_ms));
        canvas.line([(at, least), (at, worst)], Pen::new(ink, 5.0))?;
        canvas.dot((at, mean), 4.5, ink)?;
        if chosen == Some(confirm) {
            let around = Area { left: at - 13.0, right: at + 13.0, top: worst - 9.0, bottom: least + 7.0 };
            canvas.border(around, Pen::new(INK, 1.25))?;
        }
        below(canvas, area, at, &confirm.to_string())?;
        let known = !matches!(study.verdict, Verdict::Refused(Refused::TooShort { .. }) | Verdict::Moved(_));
        let needs = match study.needs[usize::from(confirm) - 1] {
            _ if !known => "?".to_owned(),
            None => "-".to_owned(),
            // Rounded as a recommendation would be.
            Some(engage) if engage <= study.target.most => Points(up(engage)).to_string(),
            Some(engage) => format!("{engage:.2}"),
        };
        let how = Lettering::new(SMALL, QUIET).align(Align::Middle);
        canvas.words((at, area.bottom + 26.0), &needs, how)?;
    }
    let how = Lettering::new(SMALL, QUIET).align(Align::Right);
    canvas.words((area.left - 4.0, area.bottom + 12.0), "confirm", how)?;
    canvas.words((area.left - 4.0, area.bottom + 26.0), "engage needed", how)?;
    border(canvas, area)
}
