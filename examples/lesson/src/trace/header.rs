//! The header of a trace: which column holds what.

use super::{CHECK, INSTRUCTOR, NOW, PAGE_CHECK, STUDENT, SWITCH, TIME};
use crate::error::{Fault, quoted};
use crate::names::is_name;
use crate::table::Titles;

/// The columns that a trace may have, for messages.
const FORMS: &str =
    "a recording of a lesson has time_us, lesson_switch, instructor_now, and i:<axis> and s:<axis> for each axis";

/// How the header begins, for messages.
pub(super) const BEGINS: &str = "time_us,lesson_switch,instructor_now";

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Field {
    Time,
    Switch,
    Now,
    Instructor(u8),
    Student(u8),
    /// The check value of a recorder.
    Check,
}

/// Who took the decisions that the check values of a trace are of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Recorder {
    #[default]
    Box,
    /// The page in a browser, with the same engine but no box.
    Page,
}

/// The columns of a trace, in their order in the file.
#[derive(Debug)]
pub(super) struct Header {
    pub(super) fields: Vec<Field>,
    /// The names of the axes, axis 0 first.
    pub(super) names: Vec<String>,
    pub(super) recorder: Recorder,
}

impl Header {
    /// Finds out what the columns of these titles hold.
    pub(super) fn of(titles: &Titles) -> Result<Self, Fault> {
        let names = names(titles)?;
        let fields = fields(titles, &names)?;
        let is_page = titles.all.iter().any(|title| title == PAGE_CHECK);
        Ok(Self { fields, names, recorder: if is_page { Recorder::Page } else { Recorder::Box } })
    }
}

/// The axes are those of the instructor's columns, in their order.
fn names(titles: &Titles) -> Result<Vec<String>, Fault> {
    let mut names = Vec::new();
    for (index, title) in titles.all.iter().enumerate() {
        if let Some(name) = title.strip_prefix(INSTRUCTOR) {
            titles.check_axis(index, name, names.len())?;
            names.push(name.to_owned());
        }
    }
    Ok(names)
}

fn fields(titles: &Titles, names: &[String]) -> Result<Vec<Field>, Fault> {
    let axis_of = |name: &str| names.iter().position(|other| other == name).and_then(|axis| u8::try_from(axis).ok());
    let mut fields = Vec::with_capacity(titles.all.len());
    for (index, title) in titles.all.iter().enumerate() {
        fields.push(match title.as_str() {
            TIME => Field::Time,
            SWITCH => Field::Switch,
            NOW => Field::Now,
            CHECK | PAGE_CHECK => Field::Check,
            axis => {
                let instructor = axis.strip_prefix(INSTRUCTOR).and_then(axis_of).map(Field::Instructor);
                let student = axis.strip_prefix(STUDENT).and_then(axis_of).map(Field::Student);
                let Some(field) = instructor.or(student) else { return Err(unknown(titles, index, names)) };
                field
            }
        });
    }
    let fixed = [(TIME, Field::Time), (SWITCH, Field::Switch), (NOW, Field::Now)]
        .map(|(title, field)| (title.to_owned(), field));
    let sticks = (0_u8..).zip(names).map(|(axis, name)| (format!("{STUDENT}{name}"), Field::Student(axis)));
    for (title, field) in fixed.into_iter().chain(sticks) {
        if !fields.contains(&field) {
            let found = format!("the column {} is missing", quoted(title.as_bytes()));
            return Err(titles.fault(found, format!("add it: {FORMS}")));
        }
    }
    if names.is_empty() {
        return Err(
            titles.fault("no axis: no column begins with i:", "add i: and s: columns, such as i:roll and s:roll")
        );
    }
    Ok(fields)
}

fn unknown(titles: &Titles, index: usize, names: &[String]) -> Fault {
    let title = &titles.all[index];
    let sticks = names.iter().flat_map(|name| [INSTRUCTOR, STUDENT].map(|side| format!("{side}{name}")));
    let columns = [TIME, SWITCH, NOW].map(str::to_owned).into_iter().chain(sticks).collect::<Vec<_>>();
    if let Some(alike) = columns.iter().find(|column| column.to_lowercase() == title.to_lowercase()) {
        let found = format!("differs from {} in nothing but capital letters", quoted(alike.as_bytes()));
        return titles.fault_in(index, &found, "write the name alike everywhere");
    }
    if let Some(name) = title.strip_prefix(STUDENT) {
        let remedy = format!("add {INSTRUCTOR}{name}, or remove it");
        return titles.fault_in(index, "has no instructor's column", remedy);
    }
    let stick = stick_of(title);
    let known = columns.iter().chain(&stick).map(String::as_str);
    let remedy = format!("remove it, or correct its name: {FORMS}");
    titles.unknown(index, "is no column of a recording of a lesson", known, remedy)
}

/// The column of a stick that was written with a capital letter, or with another sign than a colon.
fn stick_of(title: &str) -> Option<String> {
    let (side, name) = title.split_once([':', '_', '-', '.'])?;
    let side =
        [INSTRUCTOR, STUDENT].into_iter().find(|known| known.trim_end_matches(':').eq_ignore_ascii_case(side))?;
    is_name(name).then(|| format!("{side}{name}"))
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::Field::{Instructor, Now, Student, Switch, Time};
    use super::*;

    fn read(line: &str) -> Result<Header, String> {
        let titles = Titles::read(Path::new("t.csv"), line.as_bytes(), 1, BEGINS);
        titles.and_then(|titles| Header::of(&titles)).map_err(|fault| fault.to_string())
    }

    /// Given columns in any order, when the header is read, then the instructor's columns give the order of the axes.
    #[test]
    fn columns_in_any_order_are_read() {
        let header = read("s:b,time_us, i:a,instructor_now,i:b,s:a,lesson_switch").unwrap();
        assert_eq!(header.names, ["a", "b"]);
        assert_eq!(header.fields, [Student(1), Time, Instructor(0), Now, Instructor(1), Student(0), Switch]);
    }

    #[test]
    fn a_header_that_is_no_trace_says_which_column_and_what_to_do() {
        let fixed = "time_us,lesson_switch,instructor_now";
        for (line, found) in [
            (format!("{fixed},i:a,s:b"), "column 5 (s:b): \"s:b\" has no instructor's column"),
            (format!("{fixed},i:a"), "the column \"s:a\" is missing"),
            (format!("{fixed},i:a,s:a,i:a"), "column 6 (i:a): \"i:a\" is there twice; it is column 4 already"),
            (format!("{fixed},i:,s:"), "column 4 (i:): \"i:\" names no axis"),
            (
                format!("{fixed},i:a,s:a,speed"),
                "column 6 (speed): \"speed\" is no column of a recording of a lesson; remove it, or correct",
            ),
            (format!("{fixed},i_a,s_a"), "\"i_a\" is no column of a recording of a lesson; write i:a"),
            (format!("{fixed},I:a,s:a"), "\"I:a\" is no column of a recording of a lesson; write i:a"),
            (format!("{fixed},roll,pitch"), "instructor_now, and i:<axis> and s:<axis> for each axis"),
            (format!("{fixed},i:a,s:A"), "(s:A): \"s:A\" differs from \"s:a\" in nothing but capital letters; write"),
            (
                format!("{fixed},i:\u{c4},s:\u{e4}"),
                "\"s:\u{e4}\" differs from \"s:\u{c4}\" in nothing but capital letters",
            ),
            (format!("{fixed},i:a,S:a"), "(S:a): \"S:a\" differs from \"s:a\" in nothing but capital letters"),
            (fixed.replace('t', "T") + ",i:a,s:a", "(Time_us): \"Time_us\" differs from \"time_us\" in nothing"),
            (format!("{fixed},i:a,\"s:a\""), "is in quotes; quotes are not understood: write the name without them"),
            (
                format!("{fixed},i:a,s:a").replace(',', ";"),
                "line 1: the cells are separated by \";\"; separate them with",
            ),
            (format!("{fixed},i:a,s:a").replace(',', "\t"), "separated by \"\\t\"; separate them with commas, and"),
            (
                format!("{fixed},i:held,s:held"),
                "column 4 (i:held): \"i:held\" names an axis that could not be told from",
            ),
            (fixed.to_owned(), "no axis"),
            ("time_us,instructor_now,i:a,s:a".to_owned(), "the column \"lesson_switch\" is missing"),
            ("\0".to_owned(), "the header is no text: \"\\0\""),
        ] {
            let message = read(&line).unwrap_err();
            assert!(message.starts_with("t.csv, line 1"), "{message}");
            assert!(message.contains(found), "{message}");
        }
    }

    #[test]
    fn sixteen_axes_are_read_and_the_seventeenth_is_refused() {
        let header = |axes: usize| {
            let sides = (0..axes).map(|axis| format!("i:{axis},s:{axis}")).collect::<Vec<_>>();
            read(&format!("time_us,lesson_switch,instructor_now,{}", sides.join(",")))
        };
        assert_eq!(header(16).unwrap().names.len(), 16);
        assert!(header(17).unwrap_err().contains("column 36 (i:16): \"i:16\" is axis 17; keep to 16"));
    }
}
