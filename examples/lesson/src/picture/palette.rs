//! The colours: dark blue for the instructor, light ochre for the student. Colour-blind people can distinguish them,
//! and so can readers of a grey print.

use super::canvas::{Ink, Pen};

/// Words and borders.
pub(super) const INK: Ink = Ink(34, 34, 38);
/// Less important words.
pub(super) const QUIET: Ink = Ink(95, 95, 102);
/// Unobtrusive borders and lines.
pub(super) const FAINT: Ink = Ink(205, 205, 208);
/// The dead band.
pub(super) const BAND: Ink = Ink(238, 238, 240);
/// The edges of the dead band, beyond which a stick takes over.
pub(super) const BAND_EDGE: Pen = Pen::new(Ink(168, 168, 174), 0.5);

/// The time and the output of the instructor.
pub(super) const INSTRUCTOR: Ink = Ink(100, 138, 182);
/// The time and the output of the student.
pub(super) const STUDENT: Ink = Ink(240, 192, 112);
/// The output while nobody flies: the failsafe.
pub(super) const NOBODY: Ink = Ink(66, 66, 72);

/// The instructor's stick.
pub(super) const INSTRUCTOR_STICK: Pen = Pen::new(Ink(14, 36, 72), 1.5);
/// The student's stick.
pub(super) const STUDENT_STICK: Pen = Pen::new(Ink(168, 98, 8), 0.75);
/// The hatching of the student's time.
pub(super) const STUDENT_HATCH: Pen = Pen::new(Ink(190, 128, 30), 0.75);
/// The hatching of nobody's time.
pub(super) const NOBODY_HATCH: Pen = Pen::new(INK, 1.0);
/// The line weight of the output.
pub(super) const OUTPUT_WEIGHT: f64 = 4.5;

/// A `confirm` of one, two and three frames.
pub(super) const CONFIRM: [Ink; 3] = [Ink(14, 36, 72), Ink(168, 98, 8), Ink(112, 170, 160)];
/// Bars of a histogram.
pub(super) const BAR: Ink = Ink(150, 172, 200);
/// Rates that are too low for the recording to show.
pub(super) const UNSEEN_HATCH: Pen = Pen::new(Ink(214, 214, 218), 0.75);

/// A takeover.
pub(super) const TAKEOVER: Pen = Pen { ink: INK, weight: 1.0, opacity: 0.8 };
/// A hand back.
pub(super) const HAND_BACK: Pen = Pen { ink: Ink(150, 150, 156), weight: 0.75, opacity: 0.7 };
/// Borders.
pub(super) const BORDER: Pen = Pen::new(Ink(150, 150, 156), 0.75);
/// The middle of a panel.
pub(super) const MIDDLE: Pen = Pen::new(FAINT, 0.75);
/// Height above ground.
pub(super) const HEIGHT: Pen = Pen::new(Ink(60, 72, 60), 1.5);
/// The ground.
pub(super) const GROUND: Ink = Ink(196, 190, 178);
/// The hatching of the ground.
pub(super) const GROUND_HATCH: Pen = Pen::new(Ink(110, 100, 84), 0.75);

#[cfg(test)]
mod tests {
    use super::*;

    /// Lightness in grey, 0 to 255. Source: ITU-R BT.601 luma weights, from memory.
    fn grey(ink: Ink) -> f64 {
        0.299 * f64::from(ink.0) + 0.587 * f64::from(ink.1) + 0.114 * f64::from(ink.2)
    }

    #[test]
    fn who_flies_and_whose_stick_it_is_can_be_told_in_grey() {
        assert!(grey(STUDENT) - grey(INSTRUCTOR) > 50.0);
        assert!(grey(STUDENT_STICK.ink) - grey(INSTRUCTOR_STICK.ink) > 60.0);
        // The stick's line is drawn on the output, and the output on the dead band.
        assert!(grey(STUDENT) - grey(STUDENT_STICK.ink) > 60.0);
        assert!(grey(INSTRUCTOR) - grey(INSTRUCTOR_STICK.ink) > 60.0);
        assert!(grey(BAND) - grey(INSTRUCTOR) > 50.0);
        assert!(grey(BAND) - grey(STUDENT) > 35.0);
        assert!(grey(INSTRUCTOR) - grey(NOBODY) > 60.0);
        let [one, two, three] = CONFIRM;
        assert!(grey(two) - grey(one) > 50.0 && grey(three) - grey(two) > 40.0);
    }
}
