//! The keys of a policy file, table by table, as [`DEFAULT`] shows them.

use super::DEFAULT;
use crate::near::nearest;

/// A table of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Table {
    /// What stands before the first header.
    Whole,
    Latches,
    Axis,
}

pub(super) const TABLES: [Table; 3] = [Table::Whole, Table::Latches, Table::Axis];

impl Table {
    /// The table of which the library lists the keys.
    pub(super) fn listing(expected: &str) -> Self {
        let is_listed = |key: &str| expected.contains(&format!("`{key}`"));
        let all = |table: &Self| table.keys().into_iter().all(is_listed);
        TABLES.into_iter().find(all).unwrap_or(Self::Whole)
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Whole => "",
            Self::Latches => "latches",
            Self::Axis => "axis",
        }
    }

    /// As it is written.
    pub(super) fn header(self) -> &'static str {
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

    /// Its keys, those too that are commented out.
    fn keys(self) -> Vec<&'static str> {
        let mut here = Self::Whole;
        let mut keys = Vec::new();
        for line in DEFAULT.lines() {
            here = TABLES.into_iter().find(|table| !line.is_empty() && table.header() == line).unwrap_or(here);
            let key = line.trim_start_matches("# ").split_once(" = ").map_or("", |(key, _)| key);
            let is_key = !key.is_empty() && key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_');
            if here == self && is_key && !keys.contains(&key) {
                keys.push(key);
            }
        }
        keys
    }
}

/// The key that was meant by an unknown one in this table: one of this table before those of others, but the very one
/// before all that are only alike.
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
    fn the_keys_are_those_of_the_printed_file() {
        assert_eq!(Table::Latches.keys(), ["lasted_ms", "beyond_points"]);
        assert_eq!(Table::Whole.keys().len(), 11);
        assert_eq!(Table::Axis.keys().len(), 14);
    }

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
