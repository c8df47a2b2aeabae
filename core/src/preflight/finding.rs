//! What the check found wrong: where, what was seen, and what was expected.

use super::sequence::Action;
use super::spot::{End, Side};
use crate::engine::Waiting;
use crate::quantity::Deflection;

/// One fault; each is kept once, however often it shows.
///
/// `Display` and [`message`](Self::message) say where, what was seen against what was expected, and the remedy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Finding {
    /// No axis moved when this stick was asked for.
    DoesNotMove {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
    },
    /// This stick moves another axis.
    Swapped {
        /// The side whose stick it is.
        side: Side,
        /// The stick that was asked for.
        axis: u8,
        /// The axis that moved.
        with: u8,
    },
    /// The stick moves its axis in the opposite direction.
    Reversed {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
    },
    /// The released stick is not at the rest that the policy gives.
    CentreOff {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
        /// Its distance from that rest, signed.
        by: Deflection,
    },
    /// The stick goes less far than full nominal travel, or than the other transmitter's stick.
    ThrowShort {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
        /// The end of the stick.
        end: End,
        /// The distance that it went.
        seen: Deflection,
        /// The distance that the other stick goes, or full travel if that is more.
        expected: Deflection,
    },
    /// A stick without a spring was away from its safe place while another stick was asked for.
    ThrottleUp {
        /// The side whose stick it is.
        side: Side,
        /// The axis.
        axis: u8,
        /// Its distance from the safe place, signed.
        by: Deflection,
    },
    /// The student did not get every shared axis although the people did what was asked.
    NotHandedOver {
        /// What the engine waits for; `None` if it names nothing.
        waiting: Option<Waiting>,
    },
    /// The action that was asked for was not seen.
    NotSeen {
        /// The action.
        step: Action,
    },
    /// A signal was lost without being asked for.
    SignalLost {
        /// The side whose signal it is.
        side: Side,
    },
    /// The student link stayed good, with frames that never changed, when the student's transmitter was to be off: the
    /// receiver repeats its last frame (L4).
    LinkRepeats,
}

impl Finding {
    /// The side whose stick or signal it is; `None` for findings about neither.
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
            Self::LinkRepeats => Some(Side::Student),
            Self::NotHandedOver { .. } => None,
        }
    }

    /// The number of the stick that was asked for; `None` for findings about no stick.
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

    /// Whether the other finding is the same fault. A swap is the same fault for both of its sticks.
    pub(super) fn is_again(&self, other: &Self) -> bool {
        let end = |finding: &Self| if let Self::ThrowShort { end, .. } = finding { Some(*end) } else { None };
        let mirrored = match (*self, *other) {
            (Self::Swapped { side, axis, with }, Self::Swapped { side: there, axis: back, with: from }) => {
                side == there && (axis, with) == (from, back)
            }
            (Self::NotSeen { step }, Self::NotSeen { step: other }) => return step == other,
            _ => false,
        };
        mirrored
            || (core::mem::discriminant(self) == core::mem::discriminant(other)
                && (self.side(), self.axis(), end(self)) == (other.side(), other.axis(), end(other)))
    }
}
