//! The error of a refused policy (P1): the axis, the field, the value and the accepted values.

use core::fmt;

use crate::message::Message;
use crate::quantity::{Deflection, Duration};

/// The first rule that a policy breaks.
///
/// `Display` and [`message`](Self::message) name the axis, the field, the value and the accepted values.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub enum PolicyError {
    /// `engage` is not above 0, or the stick cannot get beyond it.
    Engage {
        /// The axis.
        axis: u8,
        /// Its `engage`.
        engage: Deflection,
        /// The largest distance from the rest in a good frame, in units of 2^-14 of full travel.
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
        /// The lowest axis of the set that the frame lacks.
        axis: u8,
        /// How many axes the frame has.
        axes: u8,
    },
    /// The shared set names an axis that the frame does not have.
    SharedPastLast {
        /// The lowest axis of the set that the frame lacks.
        axis: u8,
        /// How many axes the frame has.
        axes: u8,
    },
    /// In scope `Axis` a shared axis is not watched, so nothing could take it over.
    SharedUnwatched {
        /// The lowest axis that is shared and not watched.
        axis: u8,
    },
    /// The latch `beyond` is below 0, or not below `plausible`: a stick with a centred rest could not reach it.
    Beyond {
        /// The `beyond` of the latches.
        beyond: Deflection,
        /// The policy's `plausible`.
        plausible: Deflection,
    },
    /// A duration is longer than half the clock's range.
    TooLong {
        /// The axis of a `still`; `None` for every other duration.
        axis: Option<u8>,
        /// Which duration.
        timing: Timing,
        /// Its value.
        value: Duration,
    },
    /// `settle`, `timeout`, `frozen_after` or `late_step` is 0.
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
#[allow(missing_docs)] // each variant is the field of that name
#[non_exhaustive]
pub enum Timing {
    Settle,
    Dwell,
    Fade,
    PickupMax,
    Timeout,
    Requalify,
    FrozenAfter,
    FailsafeAfter,
    LateStep,
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
            Self::FrozenAfter => "frozen_after",
            Self::FailsafeAfter => "failsafe_after",
            Self::LateStep => "late_step",
            Self::Still => "still",
            Self::Lasted => "lasted",
        }
    }
}

impl PolicyError {
    /// The axis that the error names; `None` if it names no single axis.
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

    /// The error in words: axis, field, value and accepted values. For a policy in a `const`, the compiler prints it.
    ///
    /// ```
    /// use handback::{AxisRule, Deflection, Policy};
    /// let mut policy = Policy::new([AxisRule::sprung(); 4]);
    /// policy.axes[3].release = Deflection::from_points(5);
    /// assert_eq!(
    ///     policy.check().unwrap_err().message().as_str(),
    ///     "axis 3: release is 5.00 points: it must be 0 or more and below engage, 2.00 points"
    /// );
    /// ```
    pub const fn message(&self) -> Message {
        let start = Message::of_axis(self.axis());
        let is = start.text(self.field()).text(" is ");
        match *self {
            Self::Engage { engage, reach, .. } => {
                let must = ": it must be above 0 and below what the stick can reach from its rest, ";
                is.points(engage).text(must).distance(reach)
            }
            Self::Release { release, engage, .. } => {
                is.points(release).text(": it must be 0 or more and below engage, ").points(engage)
            }
            Self::Confirm { .. } => is.text("0: it must be 1 or more"),
            Self::Rest { rest: value, plausible, .. } | Self::Failsafe { failsafe: value, plausible, .. } => is
                .points(value)
                .text(": it must be within plausible, ")
                .points(plausible)
                .text(" either side of centre"),
            Self::Window { window, .. } => is.points(window).text(": it must be 0 or more"),
            Self::Plausible { plausible } => is.points(plausible).text(": it must be 100 points or more"),
            Self::NothingWatched => is.text("empty: it must name at least one axis"),
            Self::WatchedPastLast { axis, axes } | Self::SharedPastLast { axis, axes } => {
                let names = start.text(self.field()).text(" names axis ").number(axis as u32);
                names.text(": the frame has only ").number(axes as u32).text(", counted from 0")
            }
            Self::SharedUnwatched { axis } => {
                let names = start.text(self.field()).text(" names axis ").number(axis as u32);
                names.text(", which is not watched: in scope Axis nothing could take it over")
            }
            Self::Beyond { beyond, plausible } => {
                is.points(beyond).text(": it must be 0 or more and below plausible, ").points(plausible)
            }
            Self::TooLong { value, .. } => {
                let must = " us: it must be at most half the range of the clock, 2147483648 us";
                is.number(value.as_ticks()).text(must)
            }
            Self::Zero { .. } => is.text("0 us: it must be 1 us or longer"),
            Self::FailsafeBeforeTimeout { failsafe_after, timeout } => {
                let must = is.number(failsafe_after.as_ticks()).text(" us: it must be timeout, ");
                must.number(timeout.as_ticks()).text(" us, or longer")
            }
        }
    }
}

crate::message::displayed!(PolicyError);
