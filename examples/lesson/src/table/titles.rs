//! The titles of a header line, before anybody knows what they mean.

use std::collections::HashMap;
use std::path::Path;

use crate::error::{Fault, quoted};

/// A header line, cut at its commas.
pub(crate) struct Titles<'a> {
    file: &'a Path,
    number: u64,
    /// As they are written, without spaces around them.
    pub(crate) all: Vec<String>,
}

impl<'a> Titles<'a> {
    /// Cuts a line; `begins` is how such a header begins, for a message.
    pub(crate) fn read(file: &'a Path, line: &[u8], number: u64, begins: &str) -> Result<Self, Fault> {
        let line = line.strip_prefix("\u{feff}".as_bytes()).unwrap_or(line);
        let titles = match std::str::from_utf8(line) {
            Ok(text) if !text.contains('\0') => {
                let all = text.split(',').map(|title| title.trim().to_owned()).collect();
                Self { file, number, all }
            }
            _ => {
                let mend = format!("give a CSV file whose header begins with {begins}");
                return Err(Fault::new(file, format!("the header is no text: {}", quoted(line)), mend).at(number));
            }
        };
        titles.check_commas()?;
        titles.check_unique()?;
        Ok(titles)
    }

    /// The header as a whole is wrong.
    pub(crate) fn fault(&self, found: impl Into<String>, mend: impl Into<String>) -> Fault {
        Fault::new(self.file, found, mend).at(self.number)
    }

    /// One title is wrong.
    pub(crate) fn fault_in(&self, index: usize, found: &str, mend: impl Into<String>) -> Fault {
        let title = &self.all[index];
        self.fault(format!("{} {found}", quoted(title.as_bytes())), mend).column(index + 1, title)
    }

    /// Spreadsheets of some languages separate cells otherwise.
    fn check_commas(&self) -> Result<(), Fault> {
        let [all] = self.all.as_slice() else { return Ok(()) };
        match all.chars().find(|c| [';', '\t'].contains(c)) {
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
                let mend = format!("it is column {} already: rename or remove one", first + 1);
                return Err(self.fault_in(index, "is there twice", mend));
            }
        }
        Ok(())
    }
}
