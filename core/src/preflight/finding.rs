//! What the check found wrong: where, what was seen, and what was expected.

use super::sequence::Action;
use super::spot::{End, Side};
use crate::engine::{Cause, Waiting};
use crate::quantity::{Deflection, Duration};

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
    /// The axis became held within `engage`, or in fewer frames than `confirm` (T1).
    TookOverAt {
        /// The axis.
        axis: u8,
        /// The stick in the frame that did it.
        seen: Deflection,
        /// How many frames in a row it had been beyond `engage`.
        frames: u8,
        /// The policy's `engage`.
        engage: Deflection,
        /// The policy's `confirm`.
        confirm: u8,
    },
    /// The axis was beyond `engage` for `confirm` frames and did not become held (T1).
    NotAtThreshold {
        /// The axis.
        axis: u8,
        /// The stick in the last of these frames.
        seen: Deflection,
        /// The policy's `engage`.
        engage: Deflection,
        /// The policy's `confirm`.
        confirm: u8,
    },
    /// The held axis became free beyond `release`, or did not within it (T3).
    LetGoAt {
        /// The axis.
        axis: u8,
        /// How far the stick was from its rest.
        seen: Deflection,
        /// The policy's `release`.
        release: Deflection,
    },
    /// The held axis became free before its stick had stayed for `still`, or not once it had (R2).
    LetGoAfter {
        /// The axis.
        axis: u8,
        /// How long it had stayed.
        seen: Duration,
        /// The policy's `still`.
        still: Duration,
    },
    /// The student kept an axis that this takes (T2, T4).
    NotTaken {
        /// What was to take it.
        by: Cause,
    },
    /// The student got an axis although the switch had not been off since (S2, H2).
    NotKept {
        /// What was to keep it.
        by: Cause,
    },
    /// The student did not get every shared axis although everything was in order.
    NotHandedOver {
        /// What the engine waits for; `None` where it says nothing.
        waiting: Option<Waiting>,
    },
    /// The student got an axis before everything had been in order for `dwell` (H1, S3, L2).
    HandedTooSoon {
        /// For how long it had been.
        seen: Duration,
        /// The policy's `dwell`.
        dwell: Duration,
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
            Self::TookOverAt { .. } | Self::NotAtThreshold { .. } | Self::LetGoAt { .. } | Self::LetGoAfter { .. } => {
                Some(Side::Instructor)
            }
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
            | Self::ThrottleUp { axis, .. }
            | Self::TookOverAt { axis, .. }
            | Self::NotAtThreshold { axis, .. }
            | Self::LetGoAt { axis, .. }
            | Self::LetGoAfter { axis, .. } => Some(axis),
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
            (Self::NotTaken { by }, Self::NotTaken { by: other })
            | (Self::NotKept { by }, Self::NotKept { by: other })
                if by != other =>
            {
                return false;
            }
            (Self::NotSeen { step }, Self::NotSeen { step: other }) if step != other => return false,
            _ => false,
        };
        mirrored
            || (core::mem::discriminant(self) == core::mem::discriminant(other)
                && (self.side(), self.axis(), end(self)) == (other.side(), other.axis(), end(other)))
    }
}
