//! The page of a lesson: the page in a browser, with a trace and its policy inside.

use std::fmt::{self, Display, Write};
use std::fs;
use std::path::Path;

use crate::error::Fault;

/// Where the page holds a lesson; empty until one is put there.
const PLACE: &str = r#"<script type="application/json" id="lesson"></script>"#;

/// The page, and the files that are put into it.
pub(crate) struct LessonPage {
    before: String,
    after: String,
    trace: File,
    policy: Option<File>,
}

struct File {
    name: String,
    text: String,
}

impl LessonPage {
    /// Reads the page that was built, and the files.
    pub(crate) fn read(page: &Path, trace: &Path, policy: Option<&Path>) -> Result<Self, Fault> {
        let text = fs::read_to_string(page).map_err(|why| {
            Fault::new(
                page,
                format!("cannot be read: {}", why.to_string().to_lowercase()),
                "build it by `bash examples/page/build`, and name it as --page-from",
            )
        })?;
        let Some((before, after)) = text.split_once(PLACE) else {
            let found = "has no place for a lesson, or holds one already";
            return Err(Fault::new(page, found, "build it by `bash examples/page/build`"));
        };
        Ok(Self {
            before: before.to_owned(),
            after: after.to_owned(),
            trace: File::read(trace)?,
            policy: policy.map(File::read).transpose()?,
        })
    }
}

impl File {
    fn read(path: &Path) -> Result<Self, Fault> {
        let name = path.file_name().unwrap_or_default().display().to_string();
        let text = fs::read_to_string(path).map_err(|why| Fault::unread(path, &why))?;
        Ok(Self { name, text })
    }
}

impl Display for LessonPage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { before, after, trace, policy } = self;
        let (open, close) = PLACE.split_at(PLACE.len() - "</script>".len());
        write!(f, "{before}{open}{{\"trace\":{}", Json(trace))?;
        if let Some(policy) = policy {
            write!(f, ",\"policy\":{}", Json(policy))?;
        }
        write!(f, "}}{close}{after}")
    }
}

/// A file in JSON, without a `<`, which could end the script around it.
struct Json<'a>(&'a File);

impl Display for Json<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("{\"name\":")?;
        quoted(f, &self.0.name)?;
        f.write_str(",\"text\":")?;
        quoted(f, &self.0.text)?;
        f.write_char('}')
    }
}

fn quoted(f: &mut fmt::Formatter<'_>, text: &str) -> fmt::Result {
    f.write_char('"')?;
    let mut plain = 0;
    for (at, c) in text.char_indices() {
        if c != '"' && c != '\\' && c != '<' && !c.is_control() {
            continue;
        }
        f.write_str(&text[plain..at])?;
        write!(f, "\\u{:04x}", u32::from(c))?;
        plain = at + c.len_utf8();
    }
    f.write_str(&text[plain..])?;
    f.write_char('"')
}
