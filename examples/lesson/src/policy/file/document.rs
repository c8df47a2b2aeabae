//! The tables of a policy file, each with the keys that it may have.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::axis::AxisTable;
use super::entries::Entries;
use super::keys::Table;
use super::slip;
use super::source::Source;
use crate::error::Fault;

/// The file as it is written. What is left out keeps the default of [`handback::Policy::new`].
pub(super) struct Document {
    pub(super) whole: Entries,
    pub(super) latches: Entries,
    pub(super) axes: Vec<AxisTable>,
}

impl Document {
    /// Reads the text; the values are not read yet.
    pub(super) fn parse(source: &Source) -> Result<Self, Fault> {
        let document = DeTable::parse(source.text()).map_err(|why| slip::fault(source, &why))?;
        let mut whole = document.into_inner();
        let latches = match whole.remove(Table::Latches.name()) {
            Some(table) => entries(source, Table::Latches, table)?,
            None => Entries::default(),
        };
        let mut axes = Vec::new();
        if let Some(tables) = whole.remove(Table::Axis.name()) {
            let place = tables.span();
            let DeValue::Array(tables) = tables.into_inner() else {
                return Err(slip::no_table(source, Table::Axis, &place));
            };
            for table in tables {
                axes.push(AxisTable::new(source, entries(source, Table::Axis, table)?)?);
            }
        }
        let whole = Spanned::new(0..0, DeValue::Table(whole));
        Ok(Self { whole: entries(source, Table::Whole, whole)?, latches, axes })
    }
}

/// The entries of a table, if this is one and all its keys are known.
fn entries(source: &Source, table: Table, value: Spanned<DeValue<'_>>) -> Result<Entries, Fault> {
    let place = value.span();
    let DeValue::Table(values) = value.into_inner() else { return Err(slip::no_table(source, table, &place)) };
    let keys = table.keys();
    // The library sorts them; the first one in the file is told.
    let unknown = values.keys().filter(|key| !keys.contains(&key.get_ref().as_ref()));
    match unknown.min_by_key(|key| key.span().start) {
        Some(key) => Err(slip::unknown_key(source, table, &key.span(), key.get_ref())),
        None => Ok(Entries::new(values, place)),
    }
}
