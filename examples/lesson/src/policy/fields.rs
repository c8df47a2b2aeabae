//! The fields of a policy: one row each, with the names that the field has in every format.
//!
//! | column | used for |
//! |---|---|
//! | name | Rust, C, and the messages of the check ([`PolicyError::field`](handback::PolicyError::field)) |
//! | key | policy files |
//! | rules | the rules of `core/CONTRACT.md` that the field belongs to: comments in printed Rust |
//! | kind | the form of the value in each format, and the path to the value |

use std::fmt::Debug;

use handback::cue::{Phrase, Rhythm};
use handback::ppm::Level;
use handback::{AxisRule, AxisSet, Deflection, Duration, Latches, Policy, Pulse, Rest, Scope, Transfer};

/// One field of `T`.
pub(crate) struct Field<T> {
    pub(crate) name: &'static str,
    pub(crate) key: &'static str,
    pub(crate) rules: &'static str,
    pub(crate) kind: Kind<T>,
}

/// The kind of a value, and where it is in `T`.
#[derive(Clone, Copy)]
pub(crate) enum Kind<T> {
    /// A distance or a position; in points in a file, in 2^-14ths of full travel in C.
    Points(At<T, Deflection>),
    /// The same, or none.
    MaybePoints(At<T, Option<Deflection>>),
    /// A time; in milliseconds in a file, in microseconds in C.
    Time(At<T, Duration>),
    /// The same, or none.
    MaybeTime(At<T, Option<Duration>>),
    /// A whole number from 1 to 255.
    Count(At<T, u8>),
    Flag(At<T, bool>),
    /// A set of axes; in a file a flag of each axis.
    Axes(At<T, AxisSet>),
    Scope(At<T, Scope>),
    Transfer(At<T, Transfer>),
    /// Where a stick rests: one of the keys [`WHERE_LEFT`] and `rest_points` in a file.
    Rest(At<T, Rest>),
    /// A time; in microseconds in a file. This kind and all below are of a box alone.
    Micros(At<T, Duration>),
    /// The width of a pulse, in microseconds.
    Pulse(At<T, Pulse>),
    /// A share of full travel, in percent.
    Percent(At<T, Deflection>),
    /// A whole number from 0 to 255: which channel.
    Number(At<T, u8>),
    /// How many channels.
    MaybeCount(At<T, Option<u8>>),
    Level(At<T, Level>),
    /// Pulses and gaps; a list of milliseconds in a file.
    Rhythm(At<T, Rhythm>),
    /// A phrase of a voice module: its slot, and the key [`PHRASE_LASTS`] in a file.
    Phrase(At<T, Option<Phrase>>),
}

/// The path from a `T` to a value in it.
pub(crate) type At<T, V> = fn(&mut T) -> &mut V;

/// The fields of the policy as a whole, in C's order.
pub(crate) const fn whole<const N: usize>() -> [Field<Policy<N>>; 14] {
    [
        field("scope", "scope", "T5", Kind::Scope(|policy| &mut policy.scope)),
        field("watched", "watched", "T1", Kind::Axes(|policy| &mut policy.watched)),
        field("shared", "shared", "H1, H5", Kind::Axes(|policy| &mut policy.shared)),
        field("plausible", "plausible_points", "T4", Kind::Points(|policy| &mut policy.plausible)),
        field("settle", "settle_ms", "S2, S3", Kind::Time(|policy| &mut policy.settle)),
        field("dwell", "dwell_ms", "H1", Kind::Time(|policy| &mut policy.dwell)),
        field("fade", "fade_ms", "H4", Kind::Time(|policy| &mut policy.fade)),
        field("pickup_max", "pickup_max_ms", "T6", Kind::Time(|policy| &mut policy.pickup_max)),
        field("timeout", "timeout_ms", "L1, I1", Kind::Time(|policy| &mut policy.timeout)),
        field("requalify", "requalify_ms", "L2", Kind::Time(|policy| &mut policy.requalify)),
        field("frozen_after", "frozen_after_ms", "L4", Kind::MaybeTime(|policy| &mut policy.frozen_after)),
        field("failsafe_after", "failsafe_after_ms", "I2", Kind::Time(|policy| &mut policy.failsafe_after)),
        field("late_step", "late_step_ms", "K1", Kind::Time(|policy| &mut policy.late_step)),
        field(
            "off_first_after_loss",
            "off_first_after_loss",
            "S2",
            Kind::Flag(|policy| &mut policy.off_first_after_loss),
        ),
    ]
}

/// The latches, in C's order.
pub(crate) const LATCHES: [Field<Latches>; 2] = [
    field("lasted", "lasted_ms", "H2", Kind::MaybeTime(|latches| &mut latches.lasted)),
    field("beyond", "beyond_points", "H2", Kind::MaybePoints(|latches| &mut latches.beyond)),
];

/// The rule of one axis, in C's order.
pub(crate) const AXIS: [Field<AxisRule>; 8] = [
    field("engage", "engage_points", "T1", Kind::Points(|rule| &mut rule.engage)),
    field("release", "release_points", "T3, R2", Kind::Points(|rule| &mut rule.release)),
    field("confirm", "confirm", "T1", Kind::Count(|rule| &mut rule.confirm)),
    field("rest", "rest_points", "R1, R2", Kind::Rest(|rule| &mut rule.rest)),
    field("transfer", "transfer", "T6", Kind::Transfer(|rule| &mut rule.transfer)),
    field("keep", "keep", "H2", Kind::Flag(|rule| &mut rule.keep)),
    field("window", "window_points", "H3", Kind::MaybePoints(|rule| &mut rule.window)),
    field("failsafe", "failsafe_points", "I2", Kind::Points(|rule| &mut rule.failsafe)),
];

/// The key of a stick that rests where it was left, and its only value.
pub(crate) const WHERE_LEFT: (&str, &str) = ("rest", "where-left");
/// How long a stick that rests where it was left must stay: name and key.
pub(crate) const STILL: (&str, &str) = ("still", "still_ms");

/// How long a phrase lasts: name and key.
pub(crate) const PHRASE_LASTS: (&str, &str) = ("phrase", "phrase_ms");

/// Fields whose default depends on another field. Where a file leaves out the first, a message about the first points
/// at the second.
pub(crate) const DEPENDS: [(&str, &str); 3] =
    [("release", "engage"), ("failsafe_after", "timeout"), ("shared", "watched")];

/// The key of the field of this name.
pub(crate) fn key_of(name: &str) -> Option<&'static str> {
    let whole = whole::<1>().map(|field| (field.name, field.key)).into_iter();
    let latches = LATCHES.iter().map(|field| (field.name, field.key));
    let axis = AXIS.iter().map(|field| (field.name, field.key)).chain([STILL]);
    whole.chain(latches).chain(axis).find(|(known, _)| *known == name).map(|(_, key)| key)
}

/// The key of the field of this name in one table.
pub(crate) fn key_in<T>(fields: &[Field<T>], name: &str) -> Option<&'static str> {
    fields.iter().find(|field| field.name == name).map(|field| field.key)
}

pub(super) const fn field<T>(name: &'static str, key: &'static str, rules: &'static str, kind: Kind<T>) -> Field<T> {
    Field { name, key, rules, kind }
}

/// A value that is one of a few words.
pub(crate) trait Choice: Copy + Debug + 'static {
    const ALL: &'static [Self];
    /// The word in a policy file; in capitals the end of the name in C.
    fn word(self) -> &'static str;
}

impl Choice for Scope {
    const ALL: &'static [Self] = &[Self::Craft, Self::Axis];
    fn word(self) -> &'static str {
        match self {
            Self::Craft => "craft",
            Self::Axis => "axis",
        }
    }
}

impl Choice for Transfer {
    const ALL: &'static [Self] = &[Self::Snap, Self::Pickup];
    fn word(self) -> &'static str {
        match self {
            Self::Snap => "snap",
            Self::Pickup => "pickup",
        }
    }
}

impl Choice for Level {
    const ALL: &'static [Self] = &[Self::High, Self::Low];
    fn word(self) -> &'static str {
        match self {
            Self::High => "high",
            Self::Low => "low",
        }
    }
}

impl<T> Kind<T> {
    pub(crate) fn is_optional(&self) -> bool {
        matches!(self, Self::MaybePoints(_) | Self::MaybeTime(_))
    }
}

#[cfg(test)]
mod tests;
