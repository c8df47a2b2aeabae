//! What the check found wrong: where, what was seen, and what was expected.

use super::sequence::Action;
use super::spot::{End, Side};
use crate::deflection::Deflection;
use crate::outcome::Waiting;

/// One fault, named once however often it shows.
///
/// `Display` and [`message`](Self::message) say where, what was seen against what was expected, and the mend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Finding {
    /// Nothing moved when this stick was asked for.
    DoesNotMove {
        /// Whose stick.
        side: Side,
        /// Which.
        axis: u8,
    },
    /// This stick moves another axis.
    Swapped {
        /// Whose stick.
        side: Side,
        /// The stick that was asked for.
        axis: u8,
        /// The axis that moved.
        with: u8,
    },
    /// The stick moves its axis the other way round.
    Reversed {
        /// Whose stick.
        side: Side,
        /// Which.
        axis: u8,
    },
    /// The stick does not come back to where the policy has its rest.
    CentreOff {
        /// Whose stick.
        side: Side,
        /// Which.
        axis: u8,
        /// How far it is above that.
        by: Deflection,
    },
    /// The stick does not go as far as full nominal travel, or as the other transmitter's.
    ThrowShort {
        /// Whose stick.
        side: Side,
        /// Which.
        axis: u8,
        /// Towards which end of the stick.
        end: End,
        /// How far it went.
        seen: Deflection,
        /// How far the other one goes, and full travel at least.
        expected: Deflection,
    },
    /// A stick without a spring was away from its safe place when it was not its turn.
    ThrottleUp {
        /// Whose stick.
        side: Side,
        /// Which.
        axis: u8,
        /// How far from its safe place, signed.
        by: Deflection,
    },
    /// The student did not get every shared axis although everything was in order.
    NotHandedOver {
        /// What the engine waits for; `None` where it says nothing.
        waiting: Option<Waiting>,
    },
    /// What was asked for was not seen.
    NotSeen {
        /// The step that asked for it.
        step: Action,
    },
    /// A signal was lost when nobody had asked for that.
    SignalLost {
        /// Whose.
        side: Side,
    },
}

impl Finding {
    /// Whose stick or signal, where it is one.
    pub const fn side(&self) -> Option<Side> {
        match *self {
            Self::DoesNotMove { side, .. }
            | Self::Swapped { side, .. }
            | Self::Reversed { side, .. }
            | Self::CentreOff { side, .. }
            | Self::ThrowShort { side, .. }
            | Self::ThrottleUp { side, .. }
            | Self::SignalLost { side } => Some(side),
            Self::NotSeen { step } => step.side(),
            _ => None,
        }
    }

    /// The axis, where it is one: the number of the stick that was asked for.
    pub const fn axis(&self) -> Option<u8> {
        match *self {
            Self::DoesNotMove { axis, .. }
            | Self::Swapped { axis, .. }
            | Self::Reversed { axis, .. }
            | Self::CentreOff { axis, .. }
            | Self::ThrowShort { axis, .. }
            | Self::ThrottleUp { axis, .. } => Some(axis),
            Self::NotSeen { step } => step.axis(),
            _ => None,
        }
    }

    /// Whether the other is the same fault, seen another time.
    pub(super) fn is_again(&self, other: &Self) -> bool {
        let end = |finding: &Self| if let Self::ThrowShort { end, .. } = finding { Some(*end) } else { None };
        let mirrored = match (*self, *other) {
            (Self::Swapped { side, axis, with }, Self::Swapped { side: there, axis: back, with: from }) => {
                side == there && (axis, with) == (from, back)
            }
            (Self::NotSeen { step }, Self::NotSeen { step: other }) if step != other => return false,
            _ => false,
        };
        mirrored
            || (core::mem::discriminant(self) == core::mem::discriminant(other)
                && (self.side(), self.axis(), end(self)) == (other.side(), other.axis(), end(other)))
    }
}
