//! The keys of a policy file, table by table.

use crate::near::nearest;
use crate::policy::fields::{AXIS, Kind, LATCHES, STILL, WHERE_LEFT, whole};

/// A table of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::policy) enum Table {
    /// The keys before the first header.
    Whole,
    Latches,
    Axis,
}

pub(in crate::policy) const TABLES: [Table; 3] = [Table::Whole, Table::Latches, Table::Axis];

impl Table {
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Whole => "",
            Self::Latches => "latches",
            Self::Axis => "axis",
        }
    }

    /// As it is written.
    pub(in crate::policy) fn header(self) -> &'static str {
        match self {
            Self::Whole => "",
            Self::Latches => "[latches]",
            Self::Axis => "[[axis]]",
        }
    }

    /// Where a key of it belongs.
    pub(super) fn place(self) -> &'static str {
        match self {
            Self::Whole => "before the first line in brackets",
            Self::Latches => "below [latches]",
            Self::Axis => "below the [[axis]] that it is for",
        }
    }

    /// The keys of the table, without those of the tables in it.
    pub(in crate::policy) fn keys(self) -> Vec<&'static str> {
        let (sets, whole) =
            whole::<1>().into_iter().partition::<Vec<_>, _>(|field| matches!(field.kind, Kind::Axes(_)));
        match self {
            Self::Whole => whole.iter().map(|field| field.key).collect(),
            Self::Latches => LATCHES.iter().map(|field| field.key).collect(),
            Self::Axis => {
                let of_the_rule = AXIS.iter().map(|field| field.key).chain([WHERE_LEFT.0, STILL.1]);
                ["name", "kind"].into_iter().chain(of_the_rule).chain(sets.iter().map(|field| field.key)).collect()
            }
        }
    }
}

/// The key that was meant by an unknown key in the table `here`: the very same key in another table, else a similar one
/// in this table, else a similar one in another.
pub(super) fn meant(here: Table, key: &str) -> Option<(Table, &'static str)> {
    let elsewhere = || TABLES.into_iter().filter(|table| *table != here);
    let exact = elsewhere().find_map(|table| Some((table, table.keys().into_iter().find(|other| *other == key)?)));
    let alike = |table: Table| nearest(key, table.keys()).map(|meant| (table, meant));
    exact.or_else(|| alike(here)).or_else(|| elsewhere().find_map(alike))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_meant_here_before_elsewhere() {
        for (here, key, meant_by) in [
            (Table::Axis, "engage", Some((Table::Axis, "engage_points"))),
            (Table::Axis, "failsafe", Some((Table::Axis, "failsafe_points"))),
            (Table::Whole, "failsafe", Some((Table::Whole, "failsafe_after_ms"))),
            (Table::Whole, "dwell", Some((Table::Whole, "dwell_ms"))),
            (Table::Axis, "dwell_ms", Some((Table::Whole, "dwell_ms"))),
            (Table::Axis, "dwell", Some((Table::Whole, "dwell_ms"))),
            (Table::Whole, "lasted_ms", Some((Table::Latches, "lasted_ms"))),
            (Table::Whole, "colour", None),
        ] {
            assert_eq!(meant(here, key), meant_by, "{key}");
        }
    }
}
