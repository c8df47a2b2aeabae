//! The header of a rest recording: the meaning of each column.

use crate::error::Fault;
use crate::number;
use crate::table::Titles;

/// The columns that a rest recording may have, for messages.
const FORMS: &str =
    "a rest recording has time_us or time_s, and us:<axis>, points:<axis>, i:<axis> or counts:<axis> for each axis";

/// The beginning of the header, for messages.
pub(super) const BEGINS: &str = "time_us or time_s and an axis, such as time_s,us:aileron";

/// The prefixes of the columns of axes, and their units.
const UNITS: [(&str, Unit); 4] =
    [("us:", Unit::Micros), ("points:", Unit::Points), ("i:", Unit::Points), ("counts:", Unit::Counts)];

/// The unit of the readings of an axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unit {
    /// Pulse width in microseconds: 1500 is the centre, 500 are full travel.
    Micros,
    /// Points.
    Points,
    /// Counts of a converter; the rest of the stick is the centre.
    Counts,
}

impl Unit {
    /// The unit as messages about numbers name it.
    pub(super) fn counts(self) -> &'static number::Unit {
        match self {
            Self::Micros => &number::MICROSECONDS,
            Self::Points => &number::POINTS,
            Self::Counts => &number::COUNTS,
        }
    }
}

/// The meaning of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Field {
    Micros,
    Seconds,
    Axis(usize),
    /// A column of a trace other than time and the instructor's sticks.
    Ignored,
}

/// The columns of a rest recording, in their order in the file.
#[derive(Debug)]
pub(super) struct Columns {
    pub(super) fields: Vec<Field>,
    /// The names of the axes, in the order of their columns.
    pub(super) names: Vec<String>,
    pub(super) units: Vec<Unit>,
}

impl Columns {
    /// Finds out what the columns of these titles hold.
    pub(super) fn of(titles: &Titles) -> Result<Self, Fault> {
        let is_trace = titles.all.iter().any(|title| title.starts_with("i:"));
        let (mut fields, mut names, mut units) = (Vec::new(), Vec::new(), Vec::new());
        for (index, title) in titles.all.iter().enumerate() {
            fields.push(match title.as_str() {
                "time_us" => Field::Micros,
                "time_s" => Field::Seconds,
                "lesson_switch" | "instructor_now" | "check" if is_trace => Field::Ignored,
                student if is_trace && student.starts_with("s:") => Field::Ignored,
                _ => {
                    let (name, unit) = axis(titles, index, names.len())?;
                    if names.iter().any(|other| other == name) {
                        let remedy = "give each axis one column";
                        return Err(titles.fault_in(index, "names an axis that another column names too", remedy));
                    }
                    names.push(name.to_owned());
                    units.push(unit);
                    Field::Axis(names.len() - 1)
                }
            });
        }
        match fields.iter().filter(|field| matches!(field, Field::Micros | Field::Seconds)).count() {
            0 => return Err(titles.fault("has no column of time", format!("add time_us or time_s: {FORMS}"))),
            1 => {}
            _ => return Err(titles.fault("has both time_us and time_s", "remove one")),
        }
        if names.is_empty() {
            let remedy = format!("add one, such as us:aileron: {FORMS}");
            return Err(titles.fault("no axis: no column begins with us:, points:, i: or counts:", remedy));
        }
        Ok(Self { fields, names, units })
    }
}

/// The name of an axis, before which `before` others were named, and the unit of its column.
fn axis(titles: &Titles, index: usize, before: usize) -> Result<(&str, Unit), Fault> {
    let title = &titles.all[index];
    let found = UNITS.into_iter().find_map(|(prefix, unit)| title.strip_prefix(prefix).map(|name| (name, unit)));
    let Some((name, unit)) = found else {
        let remedy = format!("remove it, or correct its name: {FORMS}");
        return Err(titles.unknown(index, "is no column of a rest recording", ["time_us", "time_s"], remedy));
    };
    titles.check_axis(index, name, before)?;
    Ok((name, unit))
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;

    fn read(line: &str) -> Result<Columns, String> {
        let titles = Titles::read(Path::new("r.csv"), line.as_bytes(), 1, BEGINS);
        titles.and_then(|titles| Columns::of(&titles)).map_err(|fault| fault.to_string())
    }

    #[test]
    fn a_trace_is_a_rest_recording_of_the_instructors_sticks() {
        let columns = read("time_us,lesson_switch,instructor_now,i:roll,s:roll").unwrap();
        assert_eq!((columns.names, columns.units), (vec!["roll".to_owned()], vec![Unit::Points]));
        assert_eq!(columns.fields[1..], [Field::Ignored, Field::Ignored, Field::Axis(0), Field::Ignored]);
    }

    #[test]
    fn a_header_that_is_none_says_which_column_and_what_to_do() {
        for (line, found) in [
            ("us:a", "line 1: has no column of time; add time_us or time_s"),
            ("time_s,time_us,us:a", "line 1: has both time_us and time_s; remove one"),
            ("time_s", "line 1: no axis: no column begins with us:"),
            ("time_s,us:a,us:a", "column 3 (us:a): \"us:a\" is there twice; it is column 2 already"),
            ("time_s,us:a,counts:a", "column 3 (counts:a): \"counts:a\" names an axis that another column names too"),
            (
                "time_s,us:a,s:a",
                "column 3 (s:a): \"s:a\" is no column of a rest recording; remove it, or correct its name",
            ),
            ("time_s,us:", "column 2 (us:): \"us:\" names no axis; write a name of 1 to 32 printable characters"),
            ("time_s,us:held", "\"us:held\" names an axis that could not be told from other columns"),
            ("time_s;us:a", "the cells are separated by \";\"; separate them with commas"),
            ("time_s,\"us:a\"", "is in quotes; quotes are not understood"),
            ("\0", "the header is no text: \"\\0\"; give a CSV file whose header begins with time_us or time_s"),
        ] {
            let message = read(line).unwrap_err();
            assert!(message.starts_with("r.csv, line 1") && message.contains(found), "{message}");
        }
        let many = (0..17).map(|axis| format!(",us:{axis}")).collect::<Vec<_>>().concat();
        assert!(read(&format!("time_s{many}")).unwrap_err().contains("column 18 (us:16): \"us:16\" is axis 17; keep"));
    }
}
