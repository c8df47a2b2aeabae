//! Cues: rhythms and phrases that tell who has control, for ear, eye and hand.
//!
//! Every change of who flies (A1) has a cue: a rhythm, played alike by beeper, lamp and vibration motor, and a phrase
//! for a voice module. The start of a lesson is no change and has no cue (S1).
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
//! A rhythm needs no ear for pitch and no eye for colour. [`CueRules::check`] makes sure of this:
//!
//! - *A long pulse never gives the student the craft.* A cue that takes the craft begins with a long pulse and has a
//!   second long pulse. Every other cue has short pulses only.
//! - *No two cues can be mistaken for each other*, even if each has lost any one pulse or any one gap (a lost gap joins
//!   two pulses). The check assumes an ear that ignores the length of gaps and distinguishes two pulses only if one is
//!   a third longer. It also assumes that the player is called only every [`LOOK_EVERY`].
//!
//! Priority:
//!
//! - A cue that takes the craft begins in the step of the change, and cuts off a cue that does not. It waits only for
//!   another cue that takes the craft, and the rest after it.
//! - Every other cue waits for the cue that is playing and the rest after it.
//! - Only the cue of the newest change waits: that of an older change is no longer true.
//!
//! So a change has at most one cue, apart from its repeats. Until a waiting cue begins, the cue before it is out of
//! date.
//!
//! # The exchange in three steps
//! A positive exchange of controls has an offer, an 'I have' and a 'you have' (FAA-H-8083-3C, chapter 1). The box
//! speaks for the instructor. With [`CueRules::spoken`] it says [`Cue::Offer`] as soon as only time or a gate is
//! missing. The student answers aloud. [`Cue::HandedBack`] confirms. Choose a dwell that is longer than the phrase of
//! the offer. Taking over has one step and waits for nobody: when the box says [`Cue::Taken`], the instructor already
//! has the craft.
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
//! lesson depends on it, and keep the instructor's hands at the sticks whatever the box says.

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

/// The meaning of a cue: who has control now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Cue {
    /// The instructor asked for the craft by a stick, the switch or the button, and has it; or has it back after nobody
    /// flew.
    Taken,
    /// The instructor has the craft without asking for it: a signal was lost, a frame was bad, or a step was late.
    Lost,
    /// Nobody has the craft (I2).
    Nobody,
    /// The student has every shared axis.
    HandedBack,
    /// The student has some of the shared axes and the instructor has the others, whether the student gained or lost
    /// axes.
    Both,
    /// The instructor still has the craft, and the student waits only for the dwell or for the sticks of a gate.
    Offer,
}

impl Cue {
    /// All cues; those that take the craft come first.
    pub const ALL: [Self; 6] = [Self::Taken, Self::Lost, Self::Nobody, Self::HandedBack, Self::Both, Self::Offer];

    /// The cue of the change in this step; `None` without a change.
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
            // If the outcome names nothing that is waited for, the student has every shared axis (A2).
            Some(event) => Some(Self::of_change(event, outcome.waiting.is_none())),
            None => None,
        }
    }

    const fn of_change(change: &Event, complete: bool) -> Self {
        match (change.to, change.cause) {
            (Pilot::Nobody, _) => Self::Nobody,
            (Pilot::Student(_), _) if complete => Self::HandedBack,
            (Pilot::Student(_), _) => Self::Both,
            // No stick of a working transmitter goes past `plausible`: a bad frame is a fault of the signal.
            (
                Pilot::Instructor,
                Cause::LateStep | Cause::InstructorLost | Cause::BadFrame | Cause::LinkLost | Cause::LinkFrozen,
            ) => Self::Lost,
            (Pilot::Instructor, _) => Self::Taken,
        }
    }

    /// Whether the cue takes the craft: the student has no axis. A cue that takes the craft never waits for one that
    /// does not.
    pub const fn takes(self) -> bool {
        matches!(self, Self::Taken | Self::Lost | Self::Nobody)
    }

    /// The name of its field in [`CueRules`].
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

    /// Its place in [`ALL`](Self::ALL), from 0, which is also the order of the phrases in a voice module.
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

    /// The phrase to record for a voice module: the instructor's side of the exchange, with the decisive word first.
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
