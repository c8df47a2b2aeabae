//! What a step is given: the person's sticks and switches, the noise, and the student link.

use std::path::Path;

use handback::{Deflection, Frame};

use crate::error::Fault;
use crate::scenario::{deflection, width_us};

/// The most noise, in points.
const MOST_NOISE: f64 = 100.0;

/// What a person does in one frame. Points are hundredths of full travel, 100 at the end of a stick.
#[derive(Clone, Debug, Default)]
pub struct Input {
    /// The instructor's sticks, one number for each axis; `None`: the instructor's signal is lost.
    pub instructor: Option<Vec<f64>>,
    /// The student's sticks where a person is the student; `None`: no frame came. Not read where the student is
    /// simulated.
    pub student: Option<Vec<f64>>,
    /// Whether the lesson switch is on.
    pub switch: bool,
    /// Whether the instructor asks for the craft with the button.
    pub button: bool,
    /// The deviation of normal noise that is added to the instructor's sticks, in points.
    pub noise: f64,
    /// The student link.
    pub link: Link,
}

/// What becomes of the student's frames.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Link {
    /// They come.
    #[default]
    Good,
    /// None comes.
    Cut,
    /// The last one comes again and again: the link lies, and no check of a frame can see it.
    Frozen,
}

/// Whether the numbers of this step can be flown by a craft of these axes.
pub(super) fn check(input: &Input, names: &[String]) -> Result<(), Fault> {
    let place = Path::new("step");
    let sides = [("instructor", &input.instructor), ("student", &input.student)];
    for (side, points) in sides.into_iter().filter_map(|(side, points)| Some((side, points.as_ref()?))) {
        if points.len() != names.len() {
            let found = format!("{side} has {} sticks", points.len());
            return Err(Fault::new(place, found, format!("give {} numbers, one for each axis", names.len())));
        }
        if let Some((value, name)) = points.iter().zip(names).find(|(value, _)| !value.is_finite()) {
            return Err(Fault::new(
                place,
                format!("{side}, {name}: {value} is no number of points"),
                "give -100 to 100",
            ));
        }
    }
    if !(0.0..=MOST_NOISE).contains(&input.noise) {
        let found = format!("noise is {} points", input.noise);
        return Err(Fault::new(place, found, format!("give 0 to {MOST_NOISE}")));
    }
    Ok(())
}

/// What a transmitter sends for sticks at these points: whole microseconds, no further than the ends.
pub(super) fn frame<const N: usize>(points: impl IntoIterator<Item = f64>) -> Frame<N> {
    let mut frame = [Deflection::CENTRE; N];
    for (axis, points) in frame.iter_mut().zip(points) {
        *axis = deflection(width_us(points));
    }
    Frame::new(frame)
}
