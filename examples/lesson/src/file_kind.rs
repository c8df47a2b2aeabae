//! What a file looks like that was given in the place of another, by its first line that is no comment.

use std::path::Path;

use crate::error::Fault;

/// A file that this tool reads or writes, or that comes to hand beside them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum FileKind {
    Policy,
    Trace,
    Recording,
    Decisions,
    Picture,
    Workbook,
    Utf16,
    /// Letters are not what it is made of, such as a photograph.
    NoText,
}

impl FileKind {
    /// By how it begins; `None` where that says nothing.
    pub(crate) fn of(bytes: &[u8]) -> Option<Self> {
        Self::of_text(bytes).or_else(|| is_no_text(bytes).then_some(Self::NoText))
    }

    fn of_text(bytes: &[u8]) -> Option<Self> {
        let is_utf16 = match bytes {
            [0xff, 0xfe, ..] | [0xfe, 0xff, ..] => true,
            // Without a mark: of a plain letter one of the two bytes is none.
            [0, letter, 0, _, ..] | [letter, 0, _, 0, ..] => letter.is_ascii_graphic(),
            _ => false,
        };
        if is_utf16 {
            return Some(Self::Utf16);
        }
        if bytes.starts_with(b"PK\x03\x04") {
            return Some(Self::Workbook);
        }
        let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
        let lines = bytes.split(|byte| b"\r\n".contains(byte)).map(<[u8]>::trim_ascii).filter(|line| !line.is_empty());
        for line in lines {
            let line = std::str::from_utf8(line).ok()?;
            match Self::of_titles(line.trim_start_matches('#')) {
                // A comment says nothing of what follows it.
                None if line.starts_with('#') => {}
                None if line.starts_with("<?xml") || line.starts_with("<svg") => return Some(Self::Picture),
                None if is_toml(line) => return Some(Self::Policy),
                looks => return looks,
            }
        }
        None
    }

    /// A table by its header.
    fn of_titles(line: &str) -> Option<Self> {
        let titles = line.split([',', ';', '\t']).map(|title| title.trim().trim_matches('"')).collect::<Vec<_>>();
        let has = |wanted: &[&str]| titles.iter().any(|title| wanted.contains(title));
        let begins = |wanted: &[&str]| titles.iter().any(|title| wanted.iter().any(|start| title.starts_with(start)));
        match () {
            () if has(&["flies"]) && has(&["waiting"]) => Some(Self::Decisions),
            () if has(&["lesson_switch"]) || (has(&["time_us"]) && begins(&["i:", "s:"])) => Some(Self::Trace),
            () if has(&["time_us", "time_s"]) && begins(&["us:", "points:", "counts:"]) => Some(Self::Recording),
            () => None,
        }
    }

    /// Whether a line that begins with `#` is no comment, but the header of a table.
    pub(crate) fn is_header(line: &[u8]) -> bool {
        std::str::from_utf8(line).is_ok_and(|line| Self::of_titles(line.trim_start_matches('#')).is_some())
    }

    /// The refusal of such a file where `wanted` ("a policy") was to be read.
    pub(crate) fn instead_of(self, wanted: &str, path: &Path) -> Fault {
        let (kind, remedy) = match self {
            Self::Policy => ("a policy", "give it as --policy FILE"),
            Self::Trace => ("a recording of a lesson", "give it as `lesson replay TRACE`"),
            Self::Recording => {
                ("a recording of sticks", "give it as `lesson tune REST`, or one of sweeps as --sweep FILE")
            }
            Self::Decisions => {
                ("a file of decisions", "no command reads one: give the file of --record, not of --decisions")
            }
            Self::Picture => ("a picture", "no command reads one: check the path"),
            Self::Workbook => ("a workbook or an archive", "export it as CSV first"),
            Self::Utf16 => ("text in UTF-16", "save it in UTF-8"),
            Self::NoText => {
                return Fault::new(
                    path,
                    format!("is no text, so not {wanted}"),
                    "give a recording (CSV) or a policy (TOML)",
                );
            }
        };
        Fault::new(path, format!("looks like {kind}, not like {wanted}"), remedy)
    }
}

/// Whether the first 1024 bytes hold a control character that no text has.
fn is_no_text(bytes: &[u8]) -> bool {
    bytes.iter().take(1024).any(|byte| byte.is_ascii_control() && !b"\t\r\n\x0b\x0c\x1a".contains(byte))
}

/// Whether a line is the header of a table, or a key and its value.
fn is_toml(line: &str) -> bool {
    let key = line.split_once('=').map_or("", |(key, _)| key.trim());
    let is_key = !key.is_empty() && key.chars().all(|c| c.is_ascii_alphanumeric() || "_-.".contains(c));
    line.starts_with('[') || is_key
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::policy::DEFAULT;

    #[test]
    fn a_file_is_known_by_its_first_line_and_a_stranger_is_not() {
        for (text, looks) in [
            (DEFAULT, Some(FileKind::Policy)),
            ("\u{feff}\n[[axis]]\n", Some(FileKind::Policy)),
            ("scope = \"axis\"", Some(FileKind::Policy)),
            ("time_us,lesson_switch,instructor_now,i:a,s:a\n", Some(FileKind::Trace)),
            ("time_us;i:a;s:a\n", Some(FileKind::Trace)),
            ("# time_s,us:a\n", Some(FileKind::Recording)),
            ("time_us,counts:a\rr", Some(FileKind::Recording)),
            ("time_us,flies,student,held,cause,waiting,a\n", Some(FileKind::Decisions)),
            ("<svg width=\"3\">", Some(FileKind::Picture)),
            ("PK\u{3}\u{4}", Some(FileKind::Workbook)),
            ("time_us,speed\n", None),
            ("0,0,0,1,2\n", None),
            ("# recorded on the field\n0,1\n", None),
            ("# a comment\ntime_s,us:a\n", Some(FileKind::Recording)),
            ("a sentence", None),
            ("\u{1}\u{2}\n", Some(FileKind::NoText)),
            ("time_us,lesson_switch,instructor_now,i:a,s:a\n\u{0}\n", Some(FileKind::Trace)),
            ("", None),
        ] {
            assert_eq!(FileKind::of(text.as_bytes()), looks, "{text:?}");
        }
        for text in [&b"\xff\xfet\0"[..], b"\xfe\xff\0t", b"t\0i\0", b"\0t\0i"] {
            assert_eq!(FileKind::of(text), Some(FileKind::Utf16), "{text:?}");
        }
    }
}
