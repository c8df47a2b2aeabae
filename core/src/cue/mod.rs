//! Cues: who has control, heard, seen and felt without looking.
//!
//! Every change of who flies (A1) has its cue, a rhythm that beeper, lamp and vibration play alike, and a phrase for a
//! voice module. The start of a lesson is no change and has none (S1).
//!
//! ```text
//! taken         ##########__##########                                          the instructor took it
//! lost          ##########__##__##__##########                                  a signal failed: the instructor has it
//! nobody        ##########__##########__##########__##########                  nobody flies
//! handed back   ##__##                                                          the student has all that is shared
//! both          ##__##____##__##                                                the student has some of it
//! offer         ##__##__##____##__##__##                                        it is about to be handed back
//! ```
//!
//! What is told by rhythm needs no ear for pitch and no eye for colour, and [`CueRules::check`] holds it to this:
//!
//! - *A long pulse is not the student's.* Whatever takes the craft begins with a long pulse and has a second one;
//!   everything else has short ones only.
//! - *No two cues can be mistaken for each other*, not even where each has lost any one pulse, or any one gap, which
//!   makes one pulse of two; not by an ear that is deaf to the length of gaps and tells pulses apart only where one is
//!   a third longer; and not where the cues are looked at as seldom as every [`LOOK_EVERY`].
//!
//! Who comes first:
//!
//! - What takes the craft begins in the step of the change and cuts short what does not take. Nothing cuts it short.
//! - All else waits for what is playing and a rest. Only the newest change waits: an older one is no longer true.
//!
//! So at most one cue tells of a change, and the last one heard tells the truth, or is late in saying that the student
//! has the craft.
//!
//! # The exchange in three steps
//! A positive exchange of controls has an offer, an 'I have' and a 'you have' (FAA-H-8083-3C, chapter 1). The box speaks
//! for the instructor: with [`CueRules::spoken`] it says [`Cue::Offer`] once only time or a gate is missing, and the
//! student answers aloud; [`Cue::HandedBack`] confirms. Give the offer a dwell that is longer than its phrase. Taking
//! over has one step and waits for nobody: [`Cue::Taken`] is said while the craft is already the instructor's.
//!
//! ```
//! use handback::cue::{CheckedCueRules, CueRules, Cues};
//! use handback::{AxisRule, Deflection, Engine, Frame, Inputs, Instant, Policy};
//!
//! static CUES: CheckedCueRules = handback::checked!(CueRules::new());
//! let policy = Policy::new([AxisRule::sprung(); 4]).check()?;
//! let (mut engine, mut cues) = (Engine::new(&policy), Cues::new(&CUES));
//! let (mut sticks, mut sounded) = (Frame::CENTRE, Vec::new());
//! for n in 0..150 {
//!     if n == 100 {
//!         sticks = Frame::new([Deflection::from_points(30); 4]); // the instructor takes over
//!     }
//!     let (instructor, student) = (Some(&sticks), Some(&Frame::CENTRE));
//!     let inputs = Inputs { instructor, student, lesson_switch: n > 5, instructor_now: false };
//!     let outcome = engine.step(Instant::from_ticks(20_000 * n), inputs);
//!     sounded.push(cues.step(&outcome).beeper);
//! }
//! assert_eq!(sounded.iter().position(|&on| on), Some(65)); // handed back: two short pulses
//! assert!(sounded[100..125].iter().all(|&on| on), "taken: at once, and long");
//! # Ok::<(), handback::PolicyError>(())
//! ```
//!
//! A cue is no safeguard: beepers go unheard and lamps break. Try every cue on the bench, propellers off, before a
//! lesson depends on it, and have the instructor's hands at the sticks whatever the box says.

mod check;
mod ear;
mod error;
mod player;
mod rhythm;
mod rules;

pub use check::CheckedCueRules;
pub use ear::LOOK_EVERY;
pub use error::CueError;
pub use player::{Cues, Signs, Voice};
pub use rhythm::Rhythm;
pub use rules::{CueRule, CueRules, Phrase};

use crate::engine::{Cause, Event, Outcome, Pilot};

/// What a cue says: who has control now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Cue {
    /// The instructor has the craft and asked for it: by a stick, the switch or the button; or has it back after nobody
    /// flew.
    Taken,
    /// The instructor has the craft without having asked: a signal was lost, a frame was bad, or a step was late.
    Lost,
    /// Nobody has it (I2).
    Nobody,
    /// The student has every shared axis.
    HandedBack,
    /// The student has some of the shared axes and the instructor the rest, whoever of them had more before.
    Both,
    /// The instructor still has the craft, and only time or the sticks of a gate keep it from the student.
    Offer,
}

impl Cue {
    /// All cues, those that take first.
    pub const ALL: [Self; 6] = [Self::Taken, Self::Lost, Self::Nobody, Self::HandedBack, Self::Both, Self::Offer];

    /// The cue of the change in this step; `None` where who flies stays as it was.
    ///
    /// ```
    /// use handback::cue::Cue;
    /// # use handback::{AxisRule, Engine, Inputs, Instant, Policy};
    /// # let policy = Policy::new([AxisRule::sprung()]).check()?;
    /// # let mut engine = Engine::new(&policy);
    /// let outcome = engine.step(Instant::from_ticks(0), Inputs::default());
    /// assert_eq!(Cue::of(&outcome), None); // nothing is announced at the start
    /// # Ok::<(), handback::PolicyError>(())
    /// ```
    pub const fn of<const N: usize>(outcome: &Outcome<N>) -> Option<Self> {
        match &outcome.event {
            // While nothing is waited for, the student has all that is shared (A2).
            Some(event) => Some(Self::of_change(event, outcome.waiting.is_none())),
            None => None,
        }
    }

    const fn of_change(change: &Event, complete: bool) -> Self {
        match (change.to, change.cause) {
            (Pilot::Nobody, _) => Self::Nobody,
            (Pilot::Student(_), _) if complete => Self::HandedBack,
            (Pilot::Student(_), _) => Self::Both,
            // No stick of a sound transmitter goes past `plausible`: a bad frame is a fault of the signal.
            (Pilot::Instructor, Cause::LateStep | Cause::InstructorLost | Cause::BadFrame | Cause::LinkLost) => {
                Self::Lost
            }
            (Pilot::Instructor, _) => Self::Taken,
        }
    }

    /// Whether it leaves the student nothing: such a cue never waits for one that does not take.
    pub const fn takes(self) -> bool {
        matches!(self, Self::Taken | Self::Lost | Self::Nobody)
    }

    /// Its field in [`CueRules`].
    pub const fn name(self) -> &'static str {
        match self {
            Self::Taken => "taken",
            Self::Lost => "lost",
            Self::Nobody => "nobody",
            Self::HandedBack => "handed_back",
            Self::Both => "both",
            Self::Offer => "offer",
        }
    }

    /// Its place in [`ALL`](Self::ALL), from 0: the order of phrases in a voice module.
    pub const fn index(self) -> u8 {
        match self {
            Self::Taken => 0,
            Self::Lost => 1,
            Self::Nobody => 2,
            Self::HandedBack => 3,
            Self::Both => 4,
            Self::Offer => 5,
        }
    }

    /// What to record for a voice module: the instructor's side of the exchange, with the word that matters first.
    pub const fn wording(self) -> &'static str {
        match self {
            Self::Taken => "I have control.",
            Self::Lost => "I have control: signal lost.",
            Self::Nobody => "Nobody has control.",
            Self::HandedBack => "You have control.",
            Self::Both => "Both have control.",
            Self::Offer => "Ready for control?",
        }
    }
}
