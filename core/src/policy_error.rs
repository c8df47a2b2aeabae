//! Why a policy was refused (P1): the axis, the field, the value and the mend.

use core::fmt;

use crate::clock::Duration;
use crate::deflection::Deflection;

/// The first rule that a policy breaks.
///
/// `Display` names the axis, the field, the value and what would be right; [`rule`](Self::rule) is its constant part,
/// for the message of a `const` that does not compile.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub enum PolicyError {
    /// `engage` is not above 0, or the stick cannot get beyond it.
    Engage {
        /// The axis.
        axis: u8,
        /// Its `engage`.
        engage: Deflection,
        /// How far a good frame can be from the rest, in 2^-14ths of full travel.
        reach: u16,
    },
    /// `release` is below 0, or not below `engage`.
    Release {
        /// The axis.
        axis: u8,
        /// Its `release`.
        release: Deflection,
        /// Its `engage`.
        engage: Deflection,
    },
    /// `confirm` is 0.
    Confirm {
        /// The axis.
        axis: u8,
    },
    /// The fixed rest is beyond `plausible`.
    Rest {
        /// The axis.
        axis: u8,
        /// Its rest.
        rest: Deflection,
        /// The policy's `plausible`.
        plausible: Deflection,
    },
    /// The match window is below 0.
    Window {
        /// The axis.
        axis: u8,
        /// Its window.
        window: Deflection,
    },
    /// The failsafe is beyond `plausible`.
    Failsafe {
        /// The axis.
        axis: u8,
        /// Its failsafe.
        failsafe: Deflection,
        /// The policy's `plausible`.
        plausible: Deflection,
    },
    /// `plausible` is below full nominal travel.
    Plausible {
        /// The policy's `plausible`.
        plausible: Deflection,
    },
    /// No axis is watched, so nothing could take over.
    NothingWatched,
    /// The watched set names an axis that the frame does not have.
    WatchedPastLast {
        /// The lowest such axis.
        axis: u8,
        /// How many axes the frame has.
        axes: usize,
    },
    /// The shared set names an axis that the frame does not have.
    SharedPastLast {
        /// The lowest such axis.
        axis: u8,
        /// How many axes the frame has.
        axes: usize,
    },
    /// In scope `Axis` nothing could take this shared axis over, since nobody watches it.
    SharedUnwatched {
        /// The lowest such axis.
        axis: u8,
    },
    /// The latch `beyond` is below 0, or cannot be reached from a centred rest.
    Beyond {
        /// The latch's distance.
        beyond: Deflection,
        /// The policy's `plausible`.
        plausible: Deflection,
    },
    /// A duration is longer than half the clock's range.
    TooLong {
        /// The axis, for `still`.
        axis: Option<u8>,
        /// Which duration.
        timing: Timing,
        /// Its value.
        value: Duration,
    },
    /// A duration that must not be 0 is.
    Zero {
        /// Which duration.
        timing: Timing,
    },
    /// `failsafe_after` is shorter than `timeout`.
    FailsafeBeforeTimeout {
        /// The policy's `failsafe_after`.
        failsafe_after: Duration,
        /// The policy's `timeout`.
        timeout: Duration,
    },
}

/// The durations of a policy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[allow(missing_docs)] // each is the field of its name
pub enum Timing {
    Settle,
    Dwell,
    Fade,
    PickupMax,
    Timeout,
    Requalify,
    FailsafeAfter,
    Stall,
    Still,
    Lasted,
}

impl Timing {
    /// The name of the field.
    ///
    /// ```
    /// assert_eq!(handback::Timing::PickupMax.field(), "pickup_max");
    /// ```
    pub const fn field(self) -> &'static str {
        match self {
            Self::Settle => "settle",
            Self::Dwell => "dwell",
            Self::Fade => "fade",
            Self::PickupMax => "pickup_max",
            Self::Timeout => "timeout",
            Self::Requalify => "requalify",
            Self::FailsafeAfter => "failsafe_after",
            Self::Stall => "stall",
            Self::Still => "still",
            Self::Lasted => "lasted",
        }
    }
}

impl PolicyError {
    /// The axis whose rule is wrong; `None` where the policy as a whole is.
    ///
    /// ```
    /// assert_eq!(handback::PolicyError::Confirm { axis: 2 }.axis(), Some(2));
    /// ```
    pub const fn axis(&self) -> Option<u8> {
        match *self {
            Self::Engage { axis, .. }
            | Self::Release { axis, .. }
            | Self::Confirm { axis }
            | Self::Rest { axis, .. }
            | Self::Window { axis, .. }
            | Self::Failsafe { axis, .. }
            | Self::WatchedPastLast { axis, .. }
            | Self::SharedPastLast { axis, .. }
            | Self::SharedUnwatched { axis } => Some(axis),
            Self::TooLong { axis, .. } => axis,
            Self::Plausible { .. }
            | Self::NothingWatched
            | Self::Beyond { .. }
            | Self::Zero { .. }
            | Self::FailsafeBeforeTimeout { .. } => None,
        }
    }

    /// The field that is wrong.
    ///
    /// ```
    /// assert_eq!(handback::PolicyError::Confirm { axis: 2 }.field(), "confirm");
    /// ```
    pub const fn field(&self) -> &'static str {
        match self {
            Self::Engage { .. } => "engage",
            Self::Release { .. } => "release",
            Self::Confirm { .. } => "confirm",
            Self::Rest { .. } => "rest",
            Self::Window { .. } => "window",
            Self::Failsafe { .. } => "failsafe",
            Self::Plausible { .. } => "plausible",
            Self::NothingWatched | Self::WatchedPastLast { .. } => "watched",
            Self::SharedPastLast { .. } | Self::SharedUnwatched { .. } => "shared",
            Self::Beyond { .. } => "beyond",
            Self::TooLong { timing, .. } | Self::Zero { timing } => timing.field(),
            Self::FailsafeBeforeTimeout { .. } => "failsafe_after",
        }
    }

    /// What is asked of that field, in words that need no value.
    ///
    /// ```
    /// assert_eq!(handback::PolicyError::Confirm { axis: 2 }.rule(), "confirm must be 1 or more");
    /// ```
    pub const fn rule(&self) -> &'static str {
        match self {
            Self::Engage { .. } => "engage must be above 0 and below what the stick can reach from its rest",
            Self::Release { .. } => "release must be 0 or more and below engage",
            Self::Confirm { .. } => "confirm must be 1 or more",
            Self::Rest { .. } => "rest must be within plausible",
            Self::Window { .. } => "window must be 0 or more",
            Self::Failsafe { .. } => "failsafe must be within plausible",
            Self::Plausible { .. } => "plausible must be 100 points or more",
            Self::NothingWatched => "watched must name at least one axis",
            Self::WatchedPastLast { .. } => "watched must name only axes that the frame has",
            Self::SharedPastLast { .. } => "shared must name only axes that the frame has",
            Self::SharedUnwatched { .. } => "shared must name only watched axes in scope Axis",
            Self::Beyond { .. } => "beyond must be 0 or more and below plausible",
            Self::TooLong { .. } => "a duration must be at most half the range of the clock, 2147483648 us",
            Self::Zero { .. } => "timeout and stall must be longer than 0",
            Self::FailsafeBeforeTimeout { .. } => "failsafe_after must be timeout or longer",
        }
    }
}

impl fmt::Display for PolicyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(axis) = self.axis() {
            write!(f, "axis {axis}: ")?;
        }
        let field = self.field();
        match *self {
            Self::Engage { engage, reach, .. } => write!(
                f,
                "{field} is {engage}: it must be above 0 and below what the stick can reach from its rest, {}.{:02} points",
                u32::from(reach).saturating_mul(625) / 1024 / 100,
                u32::from(reach).saturating_mul(625) / 1024 % 100,
            ),
            Self::Release { release, engage, .. } => {
                write!(f, "{field} is {release}: it must be 0 or more and below engage, {engage}")
            }
            Self::Confirm { .. } => write!(f, "{field} is 0: it must be 1 or more"),
            Self::Rest { rest: value, plausible, .. } | Self::Failsafe { failsafe: value, plausible, .. } => {
                write!(f, "{field} is {value}: it must be within plausible, {plausible} either side of centre")
            }
            Self::Window { window, .. } => write!(f, "{field} is {window}: it must be 0 or more"),
            Self::Plausible { plausible } => write!(f, "{field} is {plausible}: it must be 100 points or more"),
            Self::NothingWatched => write!(f, "{field} is empty: it must name at least one axis"),
            Self::WatchedPastLast { axis, axes } | Self::SharedPastLast { axis, axes } => {
                write!(f, "{field} names axis {axis}: the frame has only {axes}, counted from 0")
            }
            Self::SharedUnwatched { axis } => {
                write!(f, "{field} names axis {axis}, which is not watched: in scope Axis nothing could take it over")
            }
            Self::Beyond { beyond, plausible } => {
                write!(f, "{field} is {beyond}: it must be 0 or more and below plausible, {plausible}")
            }
            Self::TooLong { value, .. } => {
                let us = value.as_ticks();
                write!(f, "{field} is {us} us: it must be at most half the range of the clock, 2147483648 us")
            }
            Self::Zero { .. } => write!(f, "{field} is 0: it must be longer"),
            Self::FailsafeBeforeTimeout { failsafe_after, timeout } => {
                let (us, least) = (failsafe_after.as_ticks(), timeout.as_ticks());
                write!(f, "{field} is {us} us: it must be timeout, {least} us, or longer")
            }
        }
    }
}

impl core::error::Error for PolicyError {}
