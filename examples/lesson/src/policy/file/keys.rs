//! The keys of a policy file, table by table.

use crate::near::nearest;
use crate::policy::fields::{AXIS, Field, Kind, LATCHES, PHRASE_LASTS, STILL, WHERE_LEFT, whole};
use crate::policy::wiring::{CHANNEL, CUE, CUES, TRAIN_IN, TRAIN_OUT};

/// A table of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::policy) enum Table {
    /// The keys before the first header.
    Whole,
    Latches,
    Axis,
    /// The train of the instructor's transmitter. This table and all below are of a box alone.
    Instructor,
    Student,
    Craft,
    Cues,
    /// One cue, in `[cues]`.
    Cue,
    /// One side of an axis, in `[[axis]]`.
    Channel,
}

pub(in crate::policy) const TABLES: [Table; 9] = [
    Table::Whole,
    Table::Latches,
    Table::Axis,
    Table::Instructor,
    Table::Student,
    Table::Craft,
    Table::Cues,
    Table::Cue,
    Table::Channel,
];

impl Table {
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Latches => "latches",
            Self::Axis => "axis",
            Self::Instructor => "instructor",
            Self::Student => "student",
            Self::Craft => "craft",
            Self::Cues => "cues",
            // Those in other tables have several names.
            Self::Whole | Self::Cue | Self::Channel => "",
        }
    }

    /// As it is written.
    pub(in crate::policy) fn header(self) -> &'static str {
        match self {
            Self::Latches => "[latches]",
            Self::Axis => "[[axis]]",
            Self::Instructor => "[instructor]",
            Self::Student => "[student]",
            Self::Craft => "[craft]",
            Self::Cues => "[cues]",
            Self::Whole | Self::Cue | Self::Channel => "",
        }
    }

    /// Where a key of it belongs.
    pub(super) fn place(self) -> &'static str {
        match self {
            Self::Whole => "before the first line in brackets",
            Self::Latches => "below [latches]",
            Self::Axis => "below the [[axis]] that it is for",
            Self::Instructor => "below [instructor]",
            Self::Student => "below [student]",
            Self::Craft => "below [craft]",
            Self::Cues => "below [cues]",
            Self::Cue => "in a cue below [cues], such as taken = { lamp = true }",
            Self::Channel => "in a side of an [[axis]], such as student = { channel = 0 }",
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
            Self::Instructor | Self::Student => keys_of(&TRAIN_IN).collect(),
            Self::Craft => keys_of(&TRAIN_OUT).collect(),
            Self::Cues => keys_of(&CUES).collect(),
            Self::Cue => keys_of(&CUE).chain([PHRASE_LASTS.1]).collect(),
            Self::Channel => keys_of(&CHANNEL).collect(),
        }
    }
}

fn keys_of<T>(fields: &[Field<T>]) -> impl Iterator<Item = &'static str> {
    fields.iter().map(|field| field.key)
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
