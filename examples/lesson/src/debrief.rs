//! A lesson to look back at: who flew when, every loss of the craft with its cause and what came of it, and the sticks
//! of any stretch of time.
//!
//! ```
//! use lesson::look::{Look, Now};
//!
//! let trace = "time_us,lesson_switch,instructor_now,i:aileron,s:aileron\n0,0,0,0,50\n20000,0,0,0,50\n";
//! let mut look = Look::begin("trace.csv", trace.into(), None)?;
//! let Now::Done(looked) = look.go_on(100)? else { panic!("two rows are not the end") };
//! let debrief = looked.lesson.expect("a trace is a lesson");
//! assert_eq!(debrief.axes(), ["aileron"]);
//! assert_eq!(debrief.curves(0.0, 0.02, 1).axes[0].student, [Some((50.0, 50.0))]);
//! # Ok::<(), lesson::Fault>(())
//! ```

mod curves;
mod moments;

use handback::{AxisSet, Cause, Link, Outcome, Pilot, Policy, Waiting};

pub use self::curves::{Curve, Curves};
use self::moments::Moments;
use crate::count::{percent, seconds};
use crate::row::Row;
use crate::timeline::{Entry, Latch, is_takeover, keeping, sentence, waited_for};
use crate::trace::Recorder;

/// Who flies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "lowercase"))]
pub enum Flies {
    Nobody,
    Instructor,
    /// The student flies at least one axis.
    Student,
    /// The student flies some of its axes, the instructor the others. Only [`Curves`] tell this from `Student`.
    Both,
}

impl Flies {
    fn of(pilot: Pilot) -> Self {
        match pilot {
            Pilot::Nobody => Self::Nobody,
            Pilot::Instructor => Self::Instructor,
            Pilot::Student(_) => Self::Student,
        }
    }
}

/// A stretch in which the same person flew. Times in seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Turn {
    pub from_s: f64,
    pub to_s: f64,
    pub flies: Flies,
}

/// A step in which the student lost an axis, and what came of it. Times in seconds, distances in points.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Loss {
    pub at_s: f64,
    /// Whether the instructor took over; otherwise the instructor's own signal was lost.
    pub taken: bool,
    /// When the student had one of these axes again; `None` where the lesson ended before.
    pub back_s: Option<f64>,
    /// Who flies and why, as the report says it.
    pub words: String,
    /// The axis of the stick that took over.
    pub axis: Option<usize>,
    /// How far each of the student's sticks was from the instructor's in that step.
    pub off: Vec<f64>,
    /// What the student waited for, in the order of its first wait.
    pub waited: Vec<Waited>,
}

/// What the student waited for, and for how many seconds in all.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Waited {
    pub words: String,
    pub s: f64,
}

/// A lesson as it was flown.
#[derive(Clone, Debug)]
pub struct Debrief {
    names: Vec<String>,
    is_of_page: bool,
    shared: AxisSet,
    keep: AxisSet,
    /// The axes that were held in the last step.
    held: AxisSet,
    /// Whether the button *instructor now* keeps the craft.
    is_kept_by_button: bool,
    moments: Moments,
    turns: Vec<Turn>,
    /// Time that the student flew, in microseconds.
    student_us: u64,
    losses: Vec<Loss>,
    /// What the student waited for until it first flew.
    first_waited: Vec<Waited>,
    /// The losses whose end the student waits for, each with the axes that were lost.
    open: Vec<(usize, AxisSet)>,
    /// The wait of the last step, which lasts until the next one.
    waits: Option<String>,
}

impl Debrief {
    /// An empty lesson of axes of these names, under this policy.
    pub(crate) fn new<const N: usize>(names: &[String], policy: &Policy<N>, recorder: Recorder) -> Self {
        Self {
            names: names.to_vec(),
            is_of_page: recorder == Recorder::Page,
            shared: policy.shared,
            keep: keeping(policy),
            held: AxisSet::EMPTY,
            is_kept_by_button: false,
            moments: Moments::new(names.len(), policy.shared),
            turns: Vec::new(),
            student_us: 0,
            losses: Vec::new(),
            first_waited: Vec::new(),
            open: Vec::new(),
            waits: None,
        }
    }

    /// Takes in a step.
    pub(crate) fn observe<const N: usize>(&mut self, row: &Row<N>, outcome: &Outcome<N>) {
        let (at_s, before_s) = (seconds(row.time_us), self.moments.last_s());
        if let Some(words) = self.waits.take()
            && let Some(waited) = self.waiting()
        {
            let lasted_s = at_s - before_s;
            match waited.iter_mut().find(|known| known.words == words) {
                Some(waited) => waited.s += lasted_s,
                None => waited.push(Waited { words, s: lasted_s }),
            }
        }
        if self.turns.last().is_some_and(|turn| turn.flies == Flies::Student) {
            self.student_us += row.time_us.saturating_sub(self.moments.time_us.last().copied().unwrap_or(row.time_us));
        }
        self.moments.push(row, outcome);
        let flies = Flies::of(outcome.pilot);
        match self.turns.last_mut() {
            Some(turn) if turn.flies == flies => turn.to_s = at_s,
            last => {
                if let Some(turn) = last {
                    turn.to_s = at_s;
                }
                self.turns.push(Turn { from_s: at_s, to_s: at_s, flies });
            }
        }
        if let Some(event) = outcome.event {
            let (lost, gained) =
                (event.from.student().except(event.to.student()), event.to.student().except(event.from.student()));
            let losses = &mut self.losses;
            self.open.retain(|&(at, axes)| {
                let is_back = axes.except(gained) != axes;
                if let Some(open) = losses.get_mut(at).filter(|_| is_back) {
                    open.back_s = Some(at_s);
                }
                !is_back
            });
            if !lost.is_empty() {
                self.open.push((self.losses.len(), lost));
                self.losses.push(self.loss(row, outcome, event.from, event.cause));
            }
        }
        self.held = outcome.held;
        let may_be_kept = |waiting| waiting == Waiting::InstructorSignal || comes_before_the_link(waiting);
        self.is_kept_by_button =
            outcome.waiting.is_some_and(may_be_kept) && (self.is_kept_by_button || row.instructor_now);
        self.waits = outcome.waiting.map(|waiting| self.waits(waiting, outcome.link));
    }

    /// The first of all that is waited for (A2), after a loss with the link where it is not good either: what waits for the
    /// switch hides it.
    fn waits(&self, waiting: Waiting, link: Link) -> String {
        let mut first = waited_for(waiting, &self.names);
        if waiting == Waiting::Latch {
            first += if self.is_kept_by_button { " (latched: instructor-now button)" } else { " (latched)" };
        }
        if link == Link::Good || !comes_before_the_link(waiting) || self.losses.is_empty() {
            return first;
        }
        format!("the student's radio link, and {first}")
    }

    /// Where a wait of the last step belongs: to the loss whose end the student waits for, or to the time before it flew.
    fn waiting(&mut self) -> Option<&mut Vec<Waited>> {
        let flew = self.turns.last().is_some_and(|turn| turn.flies == Flies::Student);
        if let Some(open) = self.losses.last_mut() {
            return open.back_s.is_none().then_some(&mut open.waited);
        }
        (!flew).then_some(&mut self.first_waited)
    }

    fn loss<const N: usize>(&self, row: &Row<N>, outcome: &Outcome<N>, from: Pilot, cause: Cause) -> Loss {
        let axis = if let Cause::Stick(axis) = cause { Some(axis) } else { None };
        let stick = axis.and_then(|axis| outcome.stick.get(axis));
        let (time_us, to) = (row.time_us, outcome.pilot);
        let latched = Latch::of(outcome, self.held, self.keep);
        let entry = Entry { time_us, from, to, cause, stick, reason: "", meant: None, latched };
        Loss {
            at_s: seconds(row.time_us),
            taken: is_takeover(to, cause),
            back_s: None,
            words: sentence(&entry, &self.names, self.shared),
            axis: axis.map(usize::from),
            off: self.moments.off(),
            waited: Vec::new(),
        }
    }

    /// The names of the axes, axis 0 first.
    pub fn axes(&self) -> &[String] {
        &self.names
    }

    /// Whether the page flew it, so that its craft are known: which way an axis goes, too.
    pub fn is_of_page(&self) -> bool {
        self.is_of_page
    }

    /// Whether each axis was ever moved by a side, or its output changed.
    pub fn moved(&self) -> Vec<bool> {
        (0..self.names.len()).map(|axis| self.moments.moved(axis)).collect()
    }

    /// The times of the first and the last step, in seconds.
    pub fn span_s(&self) -> (f64, f64) {
        (self.turns.first().map_or(0.0, |turn| turn.from_s), self.moments.last_s())
    }

    /// The time from the first step to the last, in microseconds.
    fn lasted_us(&self) -> u64 {
        let times = &self.moments.time_us;
        times.last().zip(times.first()).map_or(0, |(last, first)| last.saturating_sub(*first))
    }

    /// The time from the first step to the last, in seconds.
    pub fn lasted_s(&self) -> f64 {
        seconds(self.lasted_us())
    }

    /// The student's share of the lesson, in whole percent.
    pub fn student_percent(&self) -> u64 {
        percent(self.student_us, self.lasted_us())
    }

    /// Who flew, turn by turn.
    pub fn turns(&self) -> &[Turn] {
        &self.turns
    }

    /// What the student waited for until it first flew, in the order of its first wait.
    pub fn first_waited(&self) -> &[Waited] {
        &self.first_waited
    }

    /// Every step in which the student lost an axis.
    pub fn losses(&self) -> &[Loss] {
        &self.losses
    }

    /// Sticks and output between two times, in so many columns of equal width, 1 to 100,000.
    pub fn curves(&self, from_s: f64, to_s: f64, columns: usize) -> Curves {
        self.moments.curves(from_s, to_s, columns.clamp(1, 100_000))
    }
}

/// Whether this is waited for before the student's link (A2).
fn comes_before_the_link(waiting: Waiting) -> bool {
    matches!(waiting, Waiting::Switch | Waiting::SwitchOffFirst | Waiting::Settling { .. } | Waiting::Latch)
}

#[cfg(test)]
mod tests;
