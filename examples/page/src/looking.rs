//! Files that are dropped on the page: looks at them, and lessons to look back at.

use lesson::debrief::{Curves, Debrief, Flies, Loss, Turn, Waited};
use lesson::look::{Kind, Look, Looked, Now, Proof, Stick};
use serde::{Deserialize, Serialize};

use crate::desk::Refusal;

/// The name of the file that was kept last.
#[derive(Debug, Deserialize)]
pub struct Named {
    pub name: String,
}

/// A stretch of a lesson, to be drawn in so many columns.
#[derive(Debug, Deserialize)]
pub struct Stretch {
    pub from_s: f64,
    pub to_s: f64,
    pub columns: usize,
}

/// Nothing more is to be said.
#[derive(Debug, Serialize)]
pub struct Done {}

/// What a file is.
#[derive(Debug, Serialize)]
pub struct Known {
    pub kind: Kind,
}

/// How far a look is.
#[derive(Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Going {
    /// The share of the file, 0 to 1.
    Done(f64),
    Looked(Box<Report>),
}

/// What came of a look.
#[derive(Debug, Serialize)]
pub struct Report {
    pub kind: Kind,
    pub title: String,
    pub sound: bool,
    /// For an instructor.
    pub summary: Vec<String>,
    pub sticks: Vec<Stick>,
    /// For programmers.
    pub report: String,
    pub svg: Option<String>,
    /// Whether a lesson is there to look back at.
    pub lesson: bool,
    pub proof: Proof,
    pub files: Vec<File>,
}

/// A file that the command line would write.
#[derive(Debug, Serialize)]
pub struct File {
    pub name: String,
    pub text: String,
}

/// A lesson to look back at. Times in seconds, distances in points.
#[derive(Debug, Serialize)]
pub struct Lesson<'a> {
    pub title: &'a str,
    pub from_s: f64,
    pub to_s: f64,
    pub lasted_s: f64,
    pub student_percent: u64,
    pub axes: &'a [String],
    /// Whether the page flew it: the axes are those of its craft.
    pub of_page: bool,
    /// Whether each of them ever moved.
    pub moved: Vec<bool>,
    pub turns: &'a [Turn],
    pub first_waited: &'a [Waited],
    pub losses: &'a [Loss],
}

/// The smallest and the largest value of each column, one after the other; `null` where nothing came.
type Spans = Vec<Option<f64>>;

#[derive(Debug, Serialize)]
pub struct Drawn {
    pub axes: Vec<Axis>,
    /// A letter for each column: n(obody), i(nstructor), s(tudent), b(oth); upper case where it changed within it;
    /// - outside of the lesson.
    pub flies: String,
}

#[derive(Debug, Serialize)]
pub struct Axis {
    pub instructor: Spans,
    pub student: Spans,
    pub output: Spans,
}

/// The looks of a desk.
#[derive(Default)]
pub struct Looking {
    kept: Vec<u8>,
    policy: Option<(String, Vec<u8>)>,
    look: Option<Look>,
    title: String,
    lesson: Option<Debrief>,
}

impl Looking {
    pub(crate) fn keep(&mut self, bytes: Vec<u8>) {
        self.kept = bytes;
    }

    pub(crate) fn policy_file(&mut self, file: Option<Named>) -> Result<Done, Refusal> {
        self.policy = match file {
            Some(Named { name }) => {
                let bytes = std::mem::take(&mut self.kept);
                let look = Look::begin(&name, bytes.clone(), None)?;
                if !matches!(look.kind(), Kind::Policy | Kind::Box) {
                    return Err(format!("{name}: is no policy and no box; give a TOML file").into());
                }
                Some((name, bytes))
            }
            None => None,
        };
        Ok(Done {})
    }

    pub(crate) fn look(&mut self, file: &Named) -> Result<Known, Refusal> {
        (self.look, self.lesson) = (None, None);
        let policy = self.policy.as_ref().map(|(name, bytes)| (name.as_str(), bytes.as_slice()));
        let look = Look::begin(&file.name, std::mem::take(&mut self.kept), policy)?;
        let kind = look.kind();
        (self.look, self.title) = (Some(look), file.name.clone());
        Ok(Known { kind })
    }

    pub(crate) fn go_on(&mut self, rows: usize) -> Result<Going, Refusal> {
        let Some(mut look) = self.look.take() else {
            return Err("no look has begun; ask for one first".into());
        };
        Ok(match look.go_on(rows)? {
            Now::Going(share) => {
                self.look = Some(look);
                Going::Done(share)
            }
            Now::Done(looked) => Going::Looked(Box::new(self.ended(*looked))),
        })
    }

    fn ended(&mut self, looked: Looked) -> Report {
        let Looked { kind, summary, sticks, report, picture, is_sound, lesson, proof, files } = looked;
        let has_lesson = lesson.is_some();
        self.lesson = lesson;
        Report {
            kind,
            title: self.title.clone(),
            sound: is_sound,
            summary,
            sticks,
            report,
            svg: picture,
            lesson: has_lesson,
            proof,
            files: files.into_iter().map(|(name, text)| File { name, text }).collect(),
        }
    }

    pub(crate) fn lesson(&self) -> Result<Lesson<'_>, Refusal> {
        let lesson = self.looked_back()?;
        let (from_s, to_s) = lesson.span_s();
        Ok(Lesson {
            title: &self.title,
            from_s,
            to_s,
            lasted_s: lesson.lasted_s(),
            student_percent: lesson.student_percent(),
            axes: lesson.axes(),
            of_page: lesson.is_of_page(),
            moved: lesson.moved(),
            turns: lesson.turns(),
            first_waited: lesson.first_waited(),
            losses: lesson.losses(),
        })
    }

    pub(crate) fn curves(&self, stretch: &Stretch) -> Result<Drawn, Refusal> {
        let Curves { axes, flies } = self.looked_back()?.curves(stretch.from_s, stretch.to_s, stretch.columns);
        let axes = axes.into_iter().map(|curve| Axis {
            instructor: spans(&curve.instructor),
            student: spans(&curve.student),
            output: spans(&curve.output),
        });
        Ok(Drawn { axes: axes.collect(), flies: flies.into_iter().map(letter).collect() })
    }

    fn looked_back(&self) -> Result<&Debrief, Refusal> {
        self.lesson.as_ref().ok_or_else(|| "no lesson is there to look back at; give a recording first".into())
    }
}

fn letter(flies: Option<(Flies, bool)>) -> char {
    let Some((flies, changed)) = flies else { return '-' };
    let letter = match flies {
        Flies::Nobody => 'n',
        Flies::Instructor => 'i',
        Flies::Student => 's',
        Flies::Both => 'b',
    };
    if changed { letter.to_ascii_uppercase() } else { letter }
}

/// To a hundredth of a point, which no drawing shows.
fn spans(columns: &[Option<(f64, f64)>]) -> Spans {
    let rounded = |at: f64| (at * 100.0).round() / 100.0;
    columns.iter().flat_map(|span| [span.map(|(low, _)| rounded(low)), span.map(|(_, high)| rounded(high))]).collect()
}
