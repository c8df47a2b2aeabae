//! Every step of a lesson in few bytes: its time, who flew, and the sticks.

use handback::{AxisSet, Deflection, Frame, Outcome, Pilot, Reception};

use super::Flies;
use crate::count::seconds;
use crate::row::Row;

/// No frame came: a deflection that no stick has.
const NOTHING: i16 = i16::MIN;
/// The columns of one axis.
const SIDES: usize = 3;

/// The steps so far.
#[derive(Clone, Debug)]
pub(super) struct Moments {
    axes: usize,
    shared: AxisSet,
    pub(super) time_us: Vec<u64>,
    pub(super) flies: Vec<Flies>,
    /// For each step the instructor's sticks, the student's, and the output; each one for every axis.
    sticks: Vec<i16>,
    /// The last good frame of each side.
    last: [Vec<i16>; 2],
}

impl Moments {
    pub(super) fn new(axes: usize, shared: AxisSet) -> Self {
        let last = [vec![NOTHING; axes], vec![NOTHING; axes]];
        Self { axes, shared, time_us: Vec::new(), flies: Vec::new(), sticks: Vec::new(), last }
    }

    pub(super) fn push<const N: usize>(&mut self, row: &Row<N>, outcome: &Outcome<N>) {
        self.time_us.push(row.time_us);
        self.flies.push(match outcome.pilot {
            Pilot::Student(axes) if axes != self.shared => Flies::Both,
            pilot => Flies::of(pilot),
        });
        let sides = [(&row.instructor, outcome.instructor), (&row.student, outcome.student)];
        for (last, (frame, came)) in self.last.iter_mut().zip(sides) {
            let good = frame.as_ref().filter(|_| came == Reception::Good);
            match good {
                Some(frame) => {
                    last.clear();
                    last.extend(bits(frame));
                    self.sticks.extend_from_slice(last);
                }
                None => self.sticks.extend(std::iter::repeat_n(NOTHING, N)),
            }
        }
        self.sticks.extend(bits(&outcome.output));
    }

    /// How far the student's sticks are from the instructor's, in points; nothing where one side has sent no frame.
    pub(super) fn off(&self) -> Vec<f64> {
        let [instructor, student] = &self.last;
        let both = instructor.iter().zip(student).filter(|(one, other)| **one != NOTHING && **other != NOTHING);
        both.map(|(one, other)| points(*other) - points(*one)).collect()
    }

    /// Whether a stick or the output of an axis was ever elsewhere than at first.
    pub(super) fn moved(&self, axis: usize) -> bool {
        (0..SIDES).any(|side| {
            let column = self.sticks.iter().skip(side * self.axes + axis).step_by(SIDES * self.axes);
            let mut seen = column.filter(|bits| **bits != NOTHING);
            let first = seen.next();
            seen.any(|bits| Some(bits) != first)
        })
    }

    pub(super) fn last_s(&self) -> f64 {
        self.time_us.last().copied().map_or(0.0, seconds)
    }

    /// The stick of one side (0 the instructor, 1 the student) or the output (2) in a step, in points.
    pub(super) fn at(&self, step: usize, side: usize, axis: usize) -> Option<f64> {
        let bits = *self.sticks.get((step * SIDES + side) * self.axes + axis)?;
        (bits != NOTHING).then(|| points(bits))
    }

    pub(super) fn axes(&self) -> usize {
        self.axes
    }
}

fn bits<const N: usize>(frame: &Frame<N>) -> impl Iterator<Item = i16> + '_ {
    // -200 points is no place of a stick; one bit beside it is as good.
    frame.axes().iter().map(|axis| axis.to_bits().max(NOTHING + 1))
}

fn points(bits: i16) -> f64 {
    f64::from(bits) * 100.0 / f64::from(Deflection::FULL.to_bits())
}
