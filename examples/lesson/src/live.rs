//! A lesson under a person's hands: the craft, a beginner and the engine, one frame at a time.
//!
//! A page or a program gives the person's sticks and switches for every frame and shows the [`State`] that comes back.
//! The engine flies with the float reference in lockstep. The plain threshold flies beside it with the same inputs. The
//! craft flies what the engine puts out. Nothing here opens a file or asks a clock: a step is one frame of [`FRAME_US`].
//!
//! Everything follows from the seed and from what the person does, by arithmetic that is the same on every machine.
//!
//! ```
//! use lesson::live::{Craft, Input, Live, Plan, Student};
//!
//! let plan = Plan { craft: Craft::Helicopter, seed: 7, student: Student::Beginner, policy: None };
//! let mut live = Live::begin(&plan)?;
//! // The instructor hovers with the switch off, then turns it on and leaves the sticks alone.
//! let mut input = Input { instructor: Some(vec![0.0; 4]), ..Input::default() };
//! for frame in 0..100 {
//!     input.switch = frame >= 20;
//!     let state = live.step(&input)?;
//!     assert!(state.agrees);
//! }
//! assert_eq!(live.step(&input)?.flies, "student");
//!
//! // A stick that moves by more than its threshold takes the craft in the same frame.
//! input.instructor = Some(vec![5.0, 0.0, 0.0, 0.0]);
//! let state = live.step(&input)?;
//! assert_eq!((state.flies, state.events[0].cause), ("instructor", "stick"));
//! assert_eq!(state.events[0].words, "taken over: roll stick at +5.0 points");
//!
//! // The recording is a trace that the command line replays.
//! let saved = live.save()?;
//! assert_eq!(saved.steps, 102);
//! assert!(saved.trace.starts_with("time_us,lesson_switch,instructor_now,i:roll,"));
//! # Ok::<(), lesson::Fault>(())
//! ```
//!
//! | file | one idea |
//! |---|---|
//! | `plan`, `input`, `state` | what is flown; what a step is given; what it tells |
//! | `flown`, `aeroplane`, `helicopter` | a craft with its beginner |
//! | `lesson`, `telling` | the step; the engine's outcome as a state |
//! | `waits`, `notes`, `memory` | what is waited for, and what else happens; what these need of earlier steps |
//! | `rattle` | whether a hand moves a stick |
//! | `beside` | the engine with its reference, the plain threshold, the cues |
//! | `reaction` | from a mistake to the takeover |
//! | `recording` | the trace with check values |
//! | `settings`, `edit` | the policy as a list of values, and the change of one |
//! | `costs` | what the person's reaction costs in metres |
//!
//! It is a simulation: no figure of it is a promise for a real craft.

mod aeroplane;
mod beside;
mod costs;
mod edit;
mod flown;
mod helicopter;
mod input;
mod lesson;
mod memory;
mod notes;
mod plan;
mod rattle;
mod reaction;
mod recording;
mod settings;
mod state;
mod telling;
#[cfg(test)]
mod tests;
mod waits;

pub use costs::{Borrowed, CostRow, Costs};
pub use input::{Input, Link};
pub use plan::{Axis, Craft, Plan, Student};
pub use recording::Saved;
pub use settings::{Form, Setting};
pub use state::{Change, CraftState, Mistake, NoSignal, Note, Plain, State, Sticks, Taken, Waits};

use crate::error::Fault;
use lesson::Lesson;

/// The length of a frame, and of a step: 50 frames a second.
pub const FRAME_US: u32 = 20_000;
/// The same in seconds.
const FRAME_S: f64 = 0.02;

/// A lesson that a person flies.
pub struct Live(Box<dyn Flying + Send>);

/// A lesson with any number of axes.
trait Flying {
    fn axes(&self) -> Vec<Axis>;
    fn policy(&self) -> String;
    fn step(&mut self, input: &Input) -> Result<State, Fault>;
    fn settings(&self) -> Vec<Setting>;
    fn set(&mut self, key: &str, axis: Option<&str>, value: &str) -> Result<(), Fault>;
    fn save(&self) -> Result<Saved, Fault>;
    fn costs(&self, reaction_ms: f64) -> Result<Costs, Fault>;
}

impl Live {
    /// A lesson at its start: the craft in the air, the instructor in control.
    ///
    /// # Errors
    /// If the policy of the plan is refused, with the words of the command line.
    pub fn begin(plan: &Plan) -> Result<Self, Fault> {
        Ok(Self(match plan.craft {
            Craft::Aeroplane | Craft::Helicopter => Box::new(Lesson::<4>::begin(plan)?),
            Craft::Many => Box::new(Lesson::<16>::begin(plan)?),
        }))
    }

    /// The axes, axis 0 first.
    pub fn axes(&self) -> Vec<Axis> {
        self.0.axes()
    }

    /// The policy as a file.
    pub fn policy(&self) -> String {
        self.0.policy()
    }

    /// One frame later.
    ///
    /// # Errors
    /// If a side has another number of sticks than the craft has axes, or a number is out of range. Nothing is flown.
    pub fn step(&mut self, input: &Input) -> Result<State, Fault> {
        self.0.step(input)
    }

    /// Every value of the policy.
    pub fn settings(&self) -> Vec<Setting> {
        self.0.settings()
    }

    /// Changes one value of the policy; the text is what a policy file has behind the equals sign, without quotes.
    ///
    /// The lesson goes on with a new engine, which begins with the instructor, and a new recording.
    ///
    /// # Errors
    /// If the check of a policy file refuses it, with its words. The old policy stays.
    pub fn set(&mut self, key: &str, axis: Option<&str>, value: &str) -> Result<(), Fault> {
        self.0.set(key, axis, value)
    }

    /// The recording since it began: at the start, or at the last [`set`](Self::set).
    ///
    /// # Errors
    /// If it has no step yet.
    pub fn save(&self) -> Result<Saved, Fault> {
        self.0.save()
    }

    /// What a reaction of this many milliseconds costs this craft under this policy, in metres.
    ///
    /// # Errors
    /// If the time is not within 0 to 60000 ms.
    pub fn costs(&self, reaction_ms: f64) -> Result<Costs, Fault> {
        self.0.costs(reaction_ms)
    }
}
