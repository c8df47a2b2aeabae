//! The start gate: the conditions under which the check begins, the throttles first.

use core::fmt;

use super::hand::Hands;
use super::plan::Plan;
use super::spot::Side;
use crate::engine::{Inputs, Link, Outcome};
use crate::message::Message;
use crate::policy::CheckedPolicy;
use crate::quantity::Deflection;

/// A stick without a spring is at its safe place within this distance, which is less than a motor needs to begin to
/// turn. Common practice, no source.
pub(super) const SAFE: u16 = Deflection::from_points(10).magnitude();
/// The largest distance from the rest of a stick that nobody touches. Accepts a centre that is off, which the check
/// reports; rejects a hand on the stick.
pub(super) const NEAR: u16 = Deflection::from_points(15).magnitude();
/// The time for which all sticks must be still, in microseconds.
pub(super) const REST: u32 = 500_000;

/// Why the check does not begin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Obstacle {
    /// This side has sent no good frames, or not for long enough.
    NoSignal {
        /// The side.
        side: Side,
    },
    /// A stick without a spring is not at its safe place.
    ThrottleUp {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
        /// Its distance from that place, signed.
        by: Deflection,
    },
    /// Another stick is not near its rest.
    StickAway {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
        /// Its distance from that place, signed.
        by: Deflection,
    },
    /// The lesson switch is on.
    SwitchOn,
    /// The instructor-now button is pressed.
    ButtonPressed,
    /// The sticks have not been still for long enough.
    NotStill,
}

impl Obstacle {
    /// The obstacle, its distance, and the remedy.
    ///
    /// ```
    /// use handback::Deflection;
    /// use handback::preflight::{Obstacle, Side};
    /// let up = Obstacle::ThrottleUp { side: Side::Student, axis: 2, by: Deflection::from_points(40) };
    /// assert_eq!(
    ///     up.to_string(),
    ///     "student: axis 2 is 40.00 points from its safe place: bring it there; if it is, see direction, order and ends \
    ///      of its channel"
    /// );
    /// ```
    pub const fn message(&self) -> Message {
        let say = Message::new();
        match *self {
            Self::NoSignal { side } => side.start().text("no good signal: transmitter on, plug in"),
            Self::ThrottleUp { side, axis, by } => super::finding::Finding::ThrottleUp { side, axis, by }.message(),
            Self::StickAway { side, axis, by } => {
                let away = side.start().text("axis ").number(axis as u32).text(" is ").points(by);
                away.text(" from its rest: let it go; if nobody holds it, set trim or centre")
            }
            Self::SwitchOn => say.text("the lesson switch is on: turn it off"),
            Self::ButtonPressed => say.text("the instructor-now button is pressed: let it go"),
            Self::NotStill => say.text("the sticks are not still: hands off"),
        }
    }
}

impl fmt::Display for Obstacle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.message().as_str())
    }
}

/// The first obstacle; `None` if the check may begin.
pub(super) fn obstacle<const N: usize>(
    policy: &CheckedPolicy<N>,
    plan: &Plan,
    hands: &Hands<N>,
    inputs: &Inputs<'_, N>,
    outcome: &Outcome<N>,
) -> Option<Obstacle> {
    let sides = [Side::Instructor, Side::Student];
    let has_signal = |side| match side {
        Side::Instructor => !outcome.instructor_lost,
        Side::Student => plan.student.is_empty() || outcome.link == Link::Good,
    };
    if let Some(side) = sides.into_iter().find(|&side| !has_signal(side)) {
        return Some(Obstacle::NoSignal { side });
    }
    for side in sides {
        if let Some((axis, by)) = hands.of(side).away(policy, plan.rests_on(side) & plan.unsprung, SAFE) {
            return Some(Obstacle::ThrottleUp { side, axis, by });
        }
    }
    for side in sides {
        if let Some((axis, by)) = hands.of(side).away(policy, plan.rests_on(side), NEAR) {
            return Some(Obstacle::StickAway { side, axis, by });
        }
    }
    if inputs.lesson_switch {
        Some(Obstacle::SwitchOn)
    } else if inputs.instructor_now {
        Some(Obstacle::ButtonPressed)
    } else if sides.into_iter().any(|side| !plan.moved_by(side).is_empty() && hands.of(side).still < REST) {
        Some(Obstacle::NotStill)
    } else {
        None
    }
}
