//! The policy: which axes take over and at which threshold, how control goes back, and every time limit.
//!
//! A [`Policy`] is plain data. [`Policy::new`] gives every field its default (an own choice where no source is named);
//! assign the fields that differ. [`Policy::check`] turns it into a [`CheckedPolicy`], the only type that an engine
//! accepts. [`checked!`](crate::checked) does the same at compile time: the policy stays in flash, and a policy that
//! breaks a rule does not compile.
//!
//! ```
//! use handback::{AxisRule, CheckedPolicy, Deflection, Duration, Policy};
//!
//! static POLICY: CheckedPolicy<4> = handback::checked!({
//!     let (stick, throttle) = (AxisRule::sprung(), AxisRule::unsprung(Deflection::from_points(-100)));
//!     let mut policy = Policy::new([stick, stick, throttle, stick]); // aileron, elevator, throttle, rudder
//!     policy.axes[3].engage = Deflection::from_points(4);
//!     policy.dwell = Duration::from_millis(500);
//!     policy
//! });
//! ```
//!
//! A release above the engage threshold does not compile:
//!
//! ```compile_fail,E0080
//! use handback::{AxisRule, CheckedPolicy, Deflection, Policy};
//! static POLICY: CheckedPolicy<1> = handback::checked!({
//!     let mut policy = Policy::new([AxisRule::sprung()]);
//!     policy.axes[0].release = Deflection::from_points(3);
//!     policy
//! });
//! ```

mod check;
mod error;
mod reciprocal;

pub use check::CheckedPolicy;
pub(crate) use check::{Ask, NO_REST};
pub use error::{PolicyError, Timing};
pub(crate) use reciprocal::Reciprocal;

use crate::quantity::{AxisSet, Deflection, Duration};

/// Everything that the user decides, for `N` axes (1 to 16). Plain data, made by [`new`](Self::new).
///
/// Assign the fields that differ from their defaults, then [`check`](Self::check) it.
///
/// ```
/// use handback::{AxisRule, AxisSet, Deflection, Policy, Scope};
/// let (stick, throttle) = (AxisRule::sprung(), AxisRule::unsprung(Deflection::from_points(-100)));
/// let mut policy = Policy::new([stick, stick, throttle]);
/// policy.scope = Scope::Axis;
/// policy.shared = AxisSet::of(&[0, 1]);
/// assert!(policy.check().is_ok());
/// ```
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
#[non_exhaustive]
pub struct Policy<const N: usize> {
    /// The rule of each axis, axis 0 first.
    #[cfg_attr(feature = "serde", serde(with = "crate::quantity::array"))]
    pub axes: [AxisRule; N],
    /// The axes whose sticks can take the craft; at least one. Default: all.
    pub watched: AxisSet,
    /// The axes that the student may fly. Default: all.
    pub shared: AxisSet,
    /// How much a held axis takes from the student (T5). Default: the whole craft.
    pub scope: Scope,
    /// The largest plausible distance from centre; 1.0 or more. A frame with an axis further out is bad. Default 1.5.
    pub plausible: Deflection,
    /// How long the lesson switch must be seen in a new position without a break (S2, S3); not 0. Default 30 ms.
    pub settle: Duration,
    /// How long the conditions of H1 must hold without a break before the student gets an axis. Default 300 ms.
    pub dwell: Duration,
    /// How long an output takes from its last value to the stick that now flies the axis (H4); 0: no fade. Default
    /// 200 ms.
    pub fade: Duration,
    /// The longest time that a Pickup waits before the output fades to the instructor's stick (T6). Default 2 s.
    pub pickup_max: Duration,
    /// A signal is lost when its last good frame is older than this (L1, I1); not 0. Default 150 ms.
    pub timeout: Duration,
    /// How long a lost student link must run again without a loss before it is good (L2). Default 1 s.
    pub requalify: Duration,
    /// The student link is lost when no shared axis has changed for longer than this (L4); not 0. `None`: never.
    /// Default `None`, since many transmitters send identical frames while their sticks rest.
    pub frozen_after: Option<Duration>,
    /// Nobody flies when the instructor's last good frame is older than this (I2); `timeout` or more. Default 1 s.
    pub failsafe_after: Duration,
    /// A step is late if it comes more than this after the step before (K1); not 0. Default 250 ms.
    pub late_step: Duration,
    /// Whether the switch must be seen off first again after the student link was lost (S2, L3). Default true.
    pub off_first_after_loss: bool,
    /// The conditions, besides the `keep` of an axis, that latch a takeover (H2). Default: none.
    pub latches: Latches,
}

/// The rule of one axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
#[non_exhaustive]
pub struct AxisRule {
    /// The axis becomes held when its stick is further than this from its rest (T1); above 0 and within reach.
    pub engage: Deflection,
    /// The axis stays held until its stick is within this of its rest (T3); from 0 to below `engage`.
    pub release: Deflection,
    /// How many good frames in a row must be beyond `engage` (T1); 1 or more. Each one above 1 adds a frame of latency.
    pub confirm: u8,
    /// Where the untouched stick is (R).
    pub rest: Rest,
    /// The output of the axis when the student loses it (T6).
    pub transfer: Transfer,
    /// Whether this axis latches a takeover that it begins or joins, until the switch has been off (H2).
    pub keep: bool,
    /// The largest difference between the two sticks at which the axis may go to the student (H3); `None`: no limit.
    pub window: Option<Deflection>,
    /// The output of the axis when nobody flies (I2).
    pub failsafe: Deflection,
}

/// Where the stick of an axis rests when nobody touches it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Rest {
    /// At a fixed place: the learnt centre of a sprung stick, or a throttle parked at a known position (R1).
    At(Deflection),
    /// Wherever the stick was left, once it has stayed within `release` of one position for `still` (R2).
    WhereLeft {
        /// How long the stick must stay. 500 ms is common practice, no source.
        still: Duration,
    },
}

/// The output of an axis that leaves the student's set (T6).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Transfer {
    /// The instructor's stick, at once.
    Snap,
    /// The last output, until the instructor's stick meets it, passes it or moves away from it, for at most
    /// `pickup_max`.
    Pickup,
}

/// How much a held axis takes from the student (T5).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Scope {
    /// Every axis.
    Craft,
    /// The held axis; every axis if the held axis is not shared.
    Axis,
}

/// The conditions that latch a stick takeover, so that only the lesson switch ends it (H2). Any combination; default
/// none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct Latches {
    /// The takeover has been on for this long.
    pub lasted: Option<Duration>,
    /// A watched stick is further than this from its rest: a grab, not a nudge.
    pub beyond: Option<Deflection>,
}

impl AxisRule {
    /// A stick that springs back to its centre: engage 2 points, release 1 point, transfer Snap, failsafe at centre.
    ///
    /// Thresholds: common practice, no source.
    ///
    /// ```
    /// use handback::{AxisRule, Deflection};
    /// assert_eq!(AxisRule::sprung().engage, Deflection::from_points(2));
    /// ```
    pub const fn sprung() -> Self {
        Self {
            engage: Deflection::from_points(2),
            release: Deflection::from_points(1),
            confirm: 1,
            rest: Rest::At(Deflection::CENTRE),
            transfer: Transfer::Snap,
            keep: false,
            window: None,
            failsafe: Deflection::CENTRE,
        }
    }

    /// A stick that stays where it is put (throttle, collective): engage 8 points, release 4 points, rest where it was
    /// left for 500 ms, transfer Pickup, with `keep`.
    ///
    /// Thresholds: common practice, no source. The failsafe has no default, since a wrong guess can hurt: name it.
    ///
    /// ```
    /// use handback::{AxisRule, Deflection};
    /// let throttle = AxisRule::unsprung(Deflection::from_points(-100));
    /// assert_eq!(throttle.engage, Deflection::from_points(8));
    /// ```
    pub const fn unsprung(failsafe: Deflection) -> Self {
        Self {
            engage: Deflection::from_points(8),
            release: Deflection::from_points(4),
            confirm: 1,
            rest: Rest::WhereLeft { still: Duration::from_ticks(500_000) },
            transfer: Transfer::Pickup,
            keep: true,
            window: None,
            failsafe,
        }
    }
}

impl<const N: usize> Policy<N> {
    /// A policy with these axis rules, every axis watched and shared, and the default of every other field.
    pub const fn new(axes: [AxisRule; N]) -> Self {
        Self {
            axes,
            watched: AxisSet::first(N),
            shared: AxisSet::first(N),
            scope: Scope::Craft,
            plausible: Deflection::from_points(150),
            settle: Duration::from_ticks(30_000),
            dwell: Duration::from_ticks(300_000),
            fade: Duration::from_ticks(200_000),
            pickup_max: Duration::from_ticks(2_000_000),
            timeout: Duration::from_ticks(150_000),
            requalify: Duration::from_ticks(1_000_000),
            frozen_after: None,
            failsafe_after: Duration::from_ticks(1_000_000),
            late_step: Duration::from_ticks(250_000),
            off_first_after_loss: true,
            latches: Latches { lasted: None, beyond: None },
        }
    }
}
