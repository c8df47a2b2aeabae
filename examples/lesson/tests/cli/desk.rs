//! The tool as a user runs it, in a folder of its own.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

use crate::looked;

pub(crate) const HEADER: &str = "time_us,lesson_switch,instructor_now,i:roll,i:throttle,s:roll,s:throttle";

/// A folder to run the tool in.
pub(crate) struct Desk(TempDir);

/// The result of a run: its exit code and its output.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Desk {
    pub(crate) fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    pub(crate) fn put(&self, name: &str, bytes: impl AsRef<[u8]>) -> &Self {
        fs::write(self.path(name), bytes).unwrap();
        self
    }

    /// Puts a trace of two axes with these rows.
    pub(crate) fn put_trace(&self, rows: &[&str]) -> &Self {
        self.put("trace.csv", format!("{HEADER}\n{}\n", rows.join("\n")))
    }

    pub(crate) fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// The names of the files here, hidden ones too.
    pub(crate) fn files(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).unwrap();
        let mut names = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect::<Vec<_>>();
        names.sort();
        names
    }

    pub(crate) fn command(&self, words: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_lesson"));
        command.args(words).current_dir(self.0.path());
        command
    }

    pub(crate) fn run(&self, words: &[&str]) -> Run {
        let run = Run::of(self.command(words).output().unwrap());
        looked::same(self, words, &run);
        run
    }

    /// A run that must end with exit code 0 and print nothing on standard error.
    pub(crate) fn run_well(&self, words: &[&str]) -> String {
        let run = self.run(words);
        assert_eq!((run.code, run.err.as_str()), (Some(0), ""), "{words:?}");
        run.out
    }
}

impl Run {
    pub(crate) fn of(output: Output) -> Self {
        Self {
            code: output.status.code(),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Checks that the run was refused with exactly one line that contains `said`, and printed nothing else.
    #[track_caller]
    pub(crate) fn is_refused_with(&self, said: &str) {
        assert_eq!((self.code, self.out.as_str()), (Some(2), ""), "{self:?}");
        assert!(self.err.starts_with("error: ") && self.err.ends_with('\n'), "{self:?}");
        assert_eq!(self.err.lines().count(), 1, "{}", self.err);
        assert!(self.err.contains(said), "said: {}wanted: {said}", self.err);
    }
}

pub(crate) fn is_svg(path: &Path) -> bool {
    let text = fs::read_to_string(path).unwrap();
    text.contains("<svg") && text.trim_end().ends_with("</svg>")
}
