//! The tables of a policy file, each with the keys that it may have.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use handback::cue::Cue;

use super::axis::AxisTable;
use super::boxed::BoxTables;
use super::entries::Entries;
use super::keys::Table;
use super::slip;
use super::source::Source;
use crate::error::Fault;
use crate::policy::wiring::Side;

/// The file as it is written. What is left out keeps the default of [`handback::Policy::new`].
pub(super) struct Document {
    pub(super) whole: Entries,
    pub(super) latches: Entries,
    pub(super) axes: Vec<AxisTable>,
    /// The tables of a box that are not in an axis.
    pub(super) boxed: BoxTables,
}

impl Document {
    /// Reads the text; the values are not read yet.
    pub(super) fn parse(source: &Source) -> Result<Self, Fault> {
        let document = DeTable::parse(source.text()).map_err(|why| slip::fault(source, &why))?;
        let mut whole = document.into_inner();
        let latches = match whole.remove(Table::Latches.name()) {
            Some(table) => entries(source, Table::Latches, Table::Latches.name(), table)?,
            None => Entries::default(),
        };
        let mut axes = Vec::new();
        if let Some(tables) = whole.remove(Table::Axis.name()) {
            let place = tables.span();
            let DeValue::Array(tables) = tables.into_inner() else {
                return Err(slip::no_table(source, Table::Axis.name(), &place));
            };
            for mut table in tables {
                let sides = take_sides(source, &mut table)?;
                axes.push(AxisTable::new(source, entries(source, Table::Axis, Table::Axis.name(), table)?, sides)?);
            }
        }
        let boxed = take_box(source, &mut whole)?;
        let whole = Spanned::new(0..0, DeValue::Table(whole));
        Ok(Self { whole: entries(source, Table::Whole, "", whole)?, latches, axes, boxed })
    }
}

/// Takes the channels of an axis out of its table, in the order of [`Side::ALL`].
fn take_sides(source: &Source, table: &mut Spanned<DeValue<'_>>) -> Result<[Option<Entries>; 3], Fault> {
    let mut sides = [None, None, None];
    let DeValue::Table(values) = table.get_mut() else { return Ok(sides) };
    for (side, to) in Side::ALL.into_iter().zip(&mut sides) {
        *to = take(source, values, side.key(), Table::Channel)?;
    }
    Ok(sides)
}

fn take_box(source: &Source, whole: &mut DeTable<'_>) -> Result<BoxTables, Fault> {
    let mut boxed = BoxTables {
        instructor: take(source, whole, Table::Instructor.name(), Table::Instructor)?,
        student: take(source, whole, Table::Student.name(), Table::Student)?,
        craft: take(source, whole, Table::Craft.name(), Table::Craft)?,
        ..BoxTables::default()
    };
    if let Some(mut cues) = whole.remove(Table::Cues.name()) {
        if let DeValue::Table(values) = cues.get_mut() {
            for (cue, to) in Cue::ALL.into_iter().zip(&mut boxed.each) {
                *to = take(source, values, cue.name(), Table::Cue)?;
            }
        }
        boxed.cues = Some(entries(source, Table::Cues, Table::Cues.name(), cues)?);
    }
    Ok(boxed)
}

/// Takes the table of this name out of another.
fn take(source: &Source, from: &mut DeTable<'_>, name: &str, table: Table) -> Result<Option<Entries>, Fault> {
    from.remove(name).map(|value| entries(source, table, name, value)).transpose()
}

/// The entries of a table, if this is one and all its keys are known.
fn entries(source: &Source, table: Table, name: &str, value: Spanned<DeValue<'_>>) -> Result<Entries, Fault> {
    let place = value.span();
    let DeValue::Table(values) = value.into_inner() else { return Err(slip::no_table(source, name, &place)) };
    let keys = table.keys();
    // The library sorts them; the first one in the file is told.
    let unknown = values.keys().filter(|key| !keys.contains(&key.get_ref().as_ref()));
    match unknown.min_by_key(|key| key.span().start) {
        Some(key) => Err(slip::unknown_key(source, table, &key.span(), key.get_ref())),
        None => Ok(Entries::new(values, place)),
    }
}
