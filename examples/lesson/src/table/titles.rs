//! The titles of a header line, without their meanings.

use std::collections::HashMap;
use std::path::{Path, PathBuf};

use super::LINE_ENDS;
use crate::decisions;
use crate::error::{Fault, quoted};
use crate::names::{LONGEST_NAME, MOST_AXES, is_name};
use crate::near::nearest;

/// A header line, split at its commas.
pub(crate) struct Titles {
    file: PathBuf,
    number: u64,
    /// The titles as written, without spaces around them.
    pub(crate) all: Vec<String>,
}

impl Titles {
    /// Splits a line. `begins` is the expected beginning of the header, for a message.
    pub(crate) fn read(file: &Path, line: &[u8], number: u64, begins: &str) -> Result<Self, Fault> {
        let line = line.strip_prefix("\u{feff}".as_bytes()).unwrap_or(line);
        if line.contains(&b'\r') {
            return Err(Fault::new(file, "the header does not end", LINE_ENDS).at(number));
        }
        let titles = match std::str::from_utf8(line) {
            Ok(text) if !text.contains('\0') => {
                let all = text.split(',').map(|title| title.trim().to_owned()).collect();
                Self { file: file.to_owned(), number, all }
            }
            Err(_) if !line.contains(&0) && line.starts_with(b"time") => {
                return Err(Fault::new(file, "the header is not in UTF-8", "save the file in UTF-8").at(number));
            }
            _ => {
                let remedy = format!("give a CSV file whose header begins with {begins}");
                return Err(Fault::new(file, format!("the header is no text: {}", quoted(line)), remedy).at(number));
            }
        };
        titles.check_commas()?;
        titles.check_unique()?;
        Ok(titles)
    }

    /// An error in the header as a whole.
    pub(crate) fn fault(&self, found: impl Into<String>, remedy: impl Into<String>) -> Fault {
        Fault::new(&self.file, found, remedy).at(self.number)
    }

    /// An error in one title.
    pub(crate) fn fault_in(&self, index: usize, found: &str, remedy: impl Into<String>) -> Fault {
        let title = &self.all[index];
        self.fault(format!("{} {found}", quoted(title.as_bytes())), remedy).column(index + 1, title)
    }

    /// Checks a name of an axis, before which `before` others were named.
    pub(crate) fn check_axis(&self, index: usize, name: &str, before: usize) -> Result<(), Fault> {
        if !is_name(name) {
            let remedy = format!("write a name of 1 to {LONGEST_NAME} printable characters after the colon");
            return Err(self.fault_in(index, "names no axis", remedy));
        }
        if decisions::COLUMNS.contains(&name) {
            let remedy = "call the axis something else: the decisions have a column of that name";
            return Err(self.fault_in(index, "names an axis that could not be told from other columns", remedy));
        }
        if before == MOST_AXES {
            return Err(self.fault_in(index, "is axis 17", format!("keep to {MOST_AXES} axes or fewer")));
        }
        Ok(())
    }

    /// An error for an unknown title. Its remedy names the title in `known` that is most like it, otherwise it is
    /// `remedy`.
    pub(crate) fn unknown<'k>(
        &self,
        index: usize,
        found: &str,
        known: impl IntoIterator<Item = &'k str>,
        remedy: impl Into<String>,
    ) -> Fault {
        if self.all[index].contains('"') {
            return self.fault_in(index, "is in quotes", "quotes are not understood: write the name without them");
        }
        // A title that the header already has was not meant.
        let known = known.into_iter().filter(|&known| self.all.iter().all(|title| title != known));
        let meant = nearest(self.all[index].trim_start_matches('#').trim(), known);
        self.fault_in(index, found, meant.map_or(remedy.into(), |meant| format!("write {meant}")))
    }

    /// Refuses a header with another separator: spreadsheets in some languages do not use commas.
    fn check_commas(&self) -> Result<(), Fault> {
        let [all] = self.all.as_slice() else { return Ok(()) };
        match [';', '\t', '|', ' '].into_iter().find(|&other| all.contains(other)) {
            Some(other) => {
                let found = format!("the cells are separated by {}", quoted(&[other as u8]));
                Err(self.fault(found, "separate them with commas, and write the decimal sign as a point"))
            }
            None => Ok(()),
        }
    }

    fn check_unique(&self) -> Result<(), Fault> {
        let mut seen = HashMap::new();
        for (index, title) in self.all.iter().enumerate() {
            if let Some(first) = seen.insert(title, index) {
                let remedy = format!("it is column {} already: rename or remove one", first + 1);
                return Err(self.fault_in(index, "is there twice", remedy));
            }
        }
        Ok(())
    }
}
