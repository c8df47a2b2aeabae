//! The names of the two sticks near their lines, where they cover neither line.

use super::View;
use crate::picture::canvas::{Ink, Lettering};
use crate::picture::palette::{INK, INSTRUCTOR_STICK, STUDENT_STICK};
use crate::tally::Shot;
use handback::Frame;

pub(super) const LETTERING: Lettering = Lettering::new(12.0, INK);
/// From the middle of a name to the lines above and below it.
const GAP: f64 = 13.0;
/// From the edge of the panel to the first letter.
const INDENT: f64 = 6.0;

/// A name and its place: its left end and its vertical middle.
#[derive(Debug)]
pub(super) struct Name {
    pub(super) words: &'static str,
    pub(super) ink: Ink,
    pub(super) left: f64,
    pub(super) y: f64,
}

type Side<const N: usize> = fn(&Shot<N>) -> Option<&Frame<N>>;

/// The names that have room at the left of a panel, above their line or otherwise below it.
pub(super) fn of<const N: usize>(view: &View<'_, N>) -> Vec<Name> {
    let left = view.area.left + INDENT;
    let instructor: Side<N> = |shot| shot.instructor.as_ref();
    let student: Side<N> = |shot| shot.student.as_ref();
    let mut names: Vec<Name> = Vec::with_capacity(2);
    for (words, ink, own, other) in [
        ("instructor's stick", INSTRUCTOR_STICK.ink, instructor, student),
        ("student's stick", STUDENT_STICK.ink, student, instructor),
    ] {
        let right = left + LETTERING.width_of(words);
        let (Some((top, bottom)), other) = (reach(view, right, own), reach(view, right, other)) else { continue };
        let free = |y: &f64| {
            (view.area.top + 8.0..=view.area.bottom - 8.0).contains(y)
                && other.is_none_or(|(top, bottom)| *y <= top - GAP || bottom + GAP <= *y)
                && names.iter().all(|name| (name.y - y).abs() >= GAP)
        };
        if let Some(y) = [top - GAP, bottom + GAP].into_iter().find(free) {
            names.push(Name { words, ink, left, y });
        }
    }
    names
}

/// The highest and the lowest place of the line of a stick, from the left of the panel to the first frame past `right`.
fn reach<const N: usize>(view: &View<'_, N>, right: f64, of: Side<N>) -> Option<(f64, f64)> {
    let places = || view.shots.iter().filter_map(|shot| Some(view.place(shot, of(shot)?)));
    let count = places().position(|(x, _)| x > right).map_or(usize::MAX, |past| past + 1);
    places().take(count).map(|(_, y)| (y, y)).reduce(|reach, (y, _)| (reach.0.min(y), reach.1.max(y)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::picture::canvas::Area;
    use crate::picture::close_up::{near, view};
    use crate::tally::Lesson;
    use handback::Cause;

    /// Given a student's stick of any slope and any distance from the instructor's at the takeover, when the close-up
    /// is drawn, then no name lies on a line.
    #[test]
    fn no_name_lies_on_a_line_of_a_stick() {
        let area = Area { left: 168.0, right: 568.0, top: 50.0, bottom: 230.0 };
        let mut named = 0;
        for slope in -8..=8 {
            for apart in [-60, -20, -5, 5, 20, 60] {
                // Given a moving student's stick that is `apart` points from the resting instructor's at the takeover
                let mut lesson = Lesson::new();
                lesson.hand_back_at(0).fly(20, 2980);
                for (step, ms) in (0..20_i16).zip((3000..).step_by(20)) {
                    lesson.students_stick(0, apart + slope * (step - 10));
                    if step == 10 {
                        lesson.stick(0, 24).take_over_at(ms, Cause::Stick(0));
                    } else {
                        lesson.fly(ms, ms);
                    }
                }
                lesson.fly(3400, 6000);
                let cut = lesson.tally.close_up.cut().unwrap();
                let view = view(area, near(&cut), &cut, true);
                for name in of(&view) {
                    named += 1;
                    let right = name.left + LETTERING.width_of(name.words);
                    for of in [|shot: &Shot<3>| shot.instructor, |shot: &Shot<3>| shot.student] {
                        let line = view.shots.iter().map(|shot| view.place(shot, &of(shot).unwrap()));
                        for (x, y) in line.filter(|&(x, _)| x <= right) {
                            assert!((y - name.y).abs() > 8.0, "{slope} {apart}: {name:?} on {x} {y}");
                        }
                    }
                }
            }
        }
        assert!(named > 150, "{named} of 204");
    }
}
