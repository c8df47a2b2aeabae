//! A file looked at: the report, the picture and the verdict that the command line gives for it, without a file written.
//!
//! A trace is replayed, a recording of sticks at rest is studied for thresholds, a policy or a box is checked. A trace may
//! be long, so that it is flown in pieces.
//!
//! ```
//! use lesson::look::{Kind, Look, Now};
//!
//! let mut look = Look::begin("mine.toml", b"dwell_ms = 300\n[[axis]]\nname = \"aileron\"\nkind = \"sprung\"\n".to_vec(), None)?;
//! let Now::Done(looked) = look.go_on(1)? else { panic!("a policy is checked at once") };
//! assert_eq!((looked.kind, looked.is_sound), (Kind::Policy, true));
//! assert_eq!(looked.report, "mine.toml: ok, 1 axes: aileron\n");
//!
//! let why = Look::begin("mine.toml", b"dwel_ms = 3\n".to_vec(), None).err().unwrap();
//! assert!(why.to_string().starts_with("mine.toml, line 1, column 1 (dwel_ms): unknown key"), "{why}");
//! # Ok::<(), lesson::Fault>(())
//! ```

mod summary;

use std::io::Write;
use std::path::{Path, PathBuf};

pub use self::summary::{Stick, Thresholds};
use crate::caution::CAUTION;
use crate::count::seconds;
use crate::debrief::Debrief;
use crate::error::Fault;
use crate::file_kind::FileKind;
use crate::for_axes;
use crate::input::Input;
use crate::policy::{CPolicy, PolicyFile, RustPolicy, TomlPolicy};
use crate::replay::Replay;
use crate::trace::TraceReader;
use crate::tune::options::Options;
use crate::tune::recording::Recording;
use crate::tune::session::Session;
use crate::{picture, report};

/// What a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "lowercase"))]
pub enum Kind {
    /// A recorded lesson.
    Trace,
    /// Sticks that nobody touches.
    Recording,
    Policy,
    /// A policy, and the wiring of a box around it.
    Box,
}

/// What came of a look.
#[derive(Debug)]
pub struct Looked {
    pub kind: Kind,
    /// What an instructor needs of it, in sentences.
    pub summary: Vec<String>,
    /// The thresholds of each stick, where the file is a recording of resting sticks.
    pub sticks: Vec<Stick>,
    /// The report, as the command line prints it.
    pub report: String,
    /// The picture as SVG, where there is one.
    pub picture: Option<String>,
    /// Whether the command would end with exit code 0.
    pub is_sound: bool,
    /// The lesson, where the file is a trace.
    pub lesson: Option<Debrief>,
    /// Whether that is what happened.
    pub proof: Proof,
    /// Files that the command would write: name and text.
    pub files: Vec<(String, String)>,
}

/// Whether a lesson that was flown again is what happened, by the check values in its recording. The summary says the same.
#[derive(Clone, Debug, Default, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Proof {
    /// Why it may not be.
    pub doubts: Vec<String>,
    /// That it is, or that nothing can tell; where there is no doubt.
    pub checked: Option<String>,
    /// From when on it is known not to be, in seconds.
    pub differs_s: Option<f64>,
}

/// A file being looked at.
pub struct Look {
    kind: Kind,
    bytes: usize,
    work: Box<dyn Work>,
}

/// How far a look is.
#[derive(Debug)]
pub enum Now {
    /// There is more; this share of the file is done, 0 to 1.
    Going(f64),
    Done(Box<Looked>),
}

/// What is left to do; each call does a piece.
trait Work {
    /// Reads so many rows at most; the result, or the number of bytes that are read.
    fn go_on(&mut self, rows: usize) -> Result<Result<Looked, u64>, Fault>;
}

/// A command that reads one file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Command {
    Replay,
    Tune,
    Policy,
}

impl Command {
    /// The command that does with a file of these bytes what a look does.
    ///
    /// ```
    /// use lesson::look::Command;
    ///
    /// let trace = b"time_us,lesson_switch,instructor_now,i:roll,s:roll\n";
    /// assert_eq!(Command::of(trace), Command::Replay);
    /// ```
    pub fn of(bytes: &[u8]) -> Self {
        match FileKind::of(bytes) {
            Some(FileKind::Policy) => Self::Policy,
            Some(FileKind::Recording) => Self::Tune,
            // Whatever is no file of this tool is told what a trace should be.
            _ => Self::Replay,
        }
    }
}

impl Look {
    /// Begins with a file of this name and these bytes. `policy` is a policy or a box, name and bytes, for a trace or a
    /// recording; without one it is the default policy.
    ///
    /// # Errors
    /// What the command line says of such a file: its place, the value and the remedy.
    pub fn begin(name: &str, bytes: Vec<u8>, policy: Option<(&str, &[u8])>) -> Result<Self, Fault> {
        let policy = policy.map(|(name, bytes)| PolicyFile::read(Input::of_bytes(name, bytes.to_vec()))).transpose()?;
        let is_called_policy = FileKind::of(&bytes).is_none() && name.to_ascii_lowercase().ends_with(".toml");
        let command = if is_called_policy { Command::Policy } else { Command::of(&bytes) };
        let count = bytes.len();
        let input = Input::of_bytes(name, bytes);
        let (kind, work): (_, Box<dyn Work>) = match command {
            Command::Policy => {
                let file = PolicyFile::read(input)?;
                let kind = if file.is_box() { Kind::Box } else { Kind::Policy };
                (kind, Box::new(Checked { name: name.to_owned(), kind, file }))
            }
            Command::Tune => {
                let recording = Recording::read(input, policy.as_ref())?;
                (Kind::Recording, Box::new(Tuning { recording, policy }))
            }
            Command::Replay => {
                let trace = TraceReader::read(input)?;
                let names = trace.names_with(policy.as_ref())?;
                (Kind::Trace, for_axes!(names.len(), flown(trace, policy, &names))?)
            }
        };
        Ok(Self { kind, bytes: count, work })
    }

    /// What the file is.
    pub fn kind(&self) -> Kind {
        self.kind
    }

    /// Goes on for so many rows, 1 or more.
    ///
    /// # Errors
    /// What the command line says of a row; nothing is left to do then.
    pub fn go_on(&mut self, rows: usize) -> Result<Now, Fault> {
        #[allow(clippy::cast_precision_loss)] // a share
        let share = |read: u64| read as f64 / self.bytes.max(1) as f64;
        Ok(match self.work.go_on(rows.max(1))? {
            Ok(looked) => Now::Done(Box::new(looked)),
            Err(read) => Now::Going(share(read)),
        })
    }
}

/// A lesson being flown again.
struct Flown<const N: usize> {
    replay: Option<Replay<N>>,
    debrief: Debrief,
}

fn flown<const N: usize>(
    trace: TraceReader,
    policy: Option<PolicyFile>,
    names: &[String],
) -> Result<Box<dyn Work>, Fault> {
    let recorder = trace.recorder();
    let replay = Replay::<N>::new(trace, policy, names)?;
    let debrief = Debrief::new(names, replay.shipped.tally().policy(), recorder);
    Ok(Box::new(Flown { replay: Some(replay), debrief }))
}

impl<const N: usize> Work for Flown<N> {
    fn go_on(&mut self, rows: usize) -> Result<Result<Looked, u64>, Fault> {
        let Some(mut replay) = self.replay.take() else { return Ok(Err(0)) };
        for _ in 0..rows {
            let Some(read) = replay.steps.next()? else { return self.ended(replay).map(Ok) };
            let outcome = replay.shipped.again(&read);
            replay.threshold.again(&read);
            replay.check.step(&read.said, read.row.time_us, &outcome);
            self.debrief.observe(&read.row, &outcome);
        }
        let consumed = replay.steps.consumed();
        self.replay = Some(replay);
        Ok(Err(consumed))
    }
}

impl<const N: usize> Flown<N> {
    fn ended(&self, replay: Replay<N>) -> Result<Looked, Fault> {
        let (shipped, plain, told) = (replay.shipped.into_tally(), replay.threshold.into_tally(), replay.check.told());
        let report = text(|out| {
            report::print(out, &shipped, &plain)?;
            writeln!(out)?;
            told.lines.iter().try_for_each(|line| writeln!(out, "{line}"))?;
            CAUTION.iter().try_for_each(|line| writeln!(out, "{line}"))
        });
        Ok(Looked {
            kind: Kind::Trace,
            summary: summary::of_lesson(&shipped, &told),
            sticks: Vec::new(),
            report,
            picture: Some(drawn(picture::svg(&shipped))?),
            is_sound: shipped.agreement.is_sound() && told.differs_us.is_none(),
            lesson: Some(self.debrief.clone()),
            proof: Proof { doubts: told.doubts, checked: told.checked, differs_s: told.differs_us.map(seconds) },
            files: Vec::new(),
        })
    }
}

/// A recording to be studied.
struct Tuning {
    recording: Recording,
    policy: Option<PolicyFile>,
}

impl Work for Tuning {
    fn go_on(&mut self, _: usize) -> Result<Result<Looked, u64>, Fault> {
        for_axes!(self.recording.names.len(), tuned(&self.recording, self.policy.take())).map(Ok)
    }
}

fn tuned<const N: usize>(recording: &Recording, policy: Option<PolicyFile>) -> Result<Looked, Fault> {
    const POLICY: &str = "tuned.toml";
    let studied = Session::<N>::new(recording, policy, &Options::default())?.study()?;
    let files = studied.toml().map(|toml| (POLICY.to_owned(), toml.to_string()));
    let files = files.into_iter().collect::<Vec<_>>();
    Ok(Looked {
        kind: Kind::Recording,
        summary: summary::of_rest(&studied.tuning, !files.is_empty(), studied.dwell()),
        sticks: summary::sticks(&studied.tuning),
        report: text(|out| studied.report(out, &[], &PathBuf::from(POLICY))),
        picture: Some(drawn(picture::tune::svg(&studied.tuning))?),
        is_sound: !files.is_empty(),
        lesson: None,
        proof: Proof::default(),
        files,
    })
}

/// A policy or a box to be checked.
struct Checked {
    name: String,
    kind: Kind,
    file: PolicyFile,
}

impl Work for Checked {
    fn go_on(&mut self, _: usize) -> Result<Result<Looked, u64>, Fault> {
        for_axes!(self.file.names().len(), sources(&self.file)).map(|files| {
            let report = self.file.praise(Path::new(&self.name));
            Ok(Looked {
                kind: self.kind,
                summary: summary::of_policy(&self.file),
                sticks: Vec::new(),
                report,
                picture: None,
                is_sound: true,
                lesson: None,
                proof: Proof::default(),
                files,
            })
        })
    }
}

/// The policy as source for firmware, once it is checked.
fn sources<const N: usize>(file: &PolicyFile) -> Result<Vec<(String, String)>, Fault> {
    let (checked, plan, names) = (file.check::<N>()?, file.plan::<N>()?, &file.names());
    let policy = checked.policy();
    let rust = RustPolicy { policy, names, around: plan.as_ref() }.to_string();
    let c = CPolicy { policy, names, is_box: plan.is_some() }.to_string();
    Ok(vec![("policy.rs".to_owned(), rust), ("policy.h".to_owned(), c)])
}

/// The policy or the box of a file, written again with every key and its value, once it is checked.
///
/// ```
/// let text = lesson::look::written_again("mine.toml", b"dwell_ms = 250\n[[axis]]\nname = \"roll\"\nkind = \"sprung\"\n")?;
/// assert!(text.contains("\ndwell_ms = 250\n") && text.contains("\nengage_points = 2\n"), "{text}");
/// # Ok::<(), lesson::Fault>(())
/// ```
///
/// # Errors
/// What the command line says of such a file: its place, the value and the remedy.
pub fn written_again(name: &str, bytes: &[u8]) -> Result<String, Fault> {
    let file = PolicyFile::read(Input::of_bytes(name, bytes.to_vec()))?;
    for_axes!(file.names().len(), again(&file))
}

fn again<const N: usize>(file: &PolicyFile) -> Result<String, Fault> {
    let (checked, plan) = (file.check::<N>()?, file.plan::<N>()?);
    Ok(TomlPolicy { policy: checked.policy(), names: &file.names(), around: plan.as_ref() }.to_string())
}

/// What is printed, as text. Memory takes everything.
fn text(print: impl FnOnce(&mut Vec<u8>) -> std::io::Result<()>) -> String {
    let mut out = Vec::new();
    match print(&mut out) {
        Ok(()) => String::from_utf8_lossy(&out).into_owned(),
        Err(why) => why.to_string(),
    }
}

fn drawn(svg: Result<String, std::fmt::Error>) -> Result<String, Fault> {
    svg.map_err(|why| Fault::told(Path::new("the picture"), why.to_string()))
}

#[cfg(test)]
mod tests;
