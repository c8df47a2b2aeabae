//! A trainer box, all of it apart from its pins.
//!
//! Two transmitters' pulse trains go in, edge by edge; one goes out to the craft, edge by edge. Between them the
//! [engine](handback::Engine) decides who flies. The firmware of a board does no more than this:
//!
//! - Each edge of a line, with its time, goes to [`TrainerBox::edge`].
//! - Each millisecond or so, [`TrainerBox::step`] says what to send the craft, what lamp and beeper are to do, and who
//!   flies. What it says to send goes to [`Outlet::send`].
//! - A timer's interrupt asks [`Outlet::next_edge`] when to set the craft's line to what, and asks again when it has.
//! - The watchdog is fed while [`Outlet::is_alive`], and by nobody else.
//! - [`TrainerBox::next_entry`] is emptied into whatever log there is.
//!
//! ```
//! use handback::cue::CueRules;
//! use handback::ppm::{DecoderSetup, Edge, EncoderSetup, Level};
//! use handback::{AxisRule, Channels, Deflection, Instant, Policy};
//! use trainer_box::{CheckedPlan, Desk, Outlet, Plan, Side, TrainerBox};
//!
//! const STICK: AxisRule = AxisRule::sprung();
//! static PLAN: CheckedPlan<4, 8, 6> = handback::checked!(Plan {
//!     policy: Policy::new([STICK, STICK, AxisRule::unsprung(Deflection::from_points(-100)), STICK]),
//!     instructor: Channels::pulses(),
//!     student: Channels::pulses(),
//!     craft: Channels::pulses(),
//!     instructor_train: DecoderSetup::new(Level::High),
//!     student_train: DecoderSetup::new(Level::High),
//!     craft_train: EncoderSetup::new(Level::High),
//!     cues: CueRules::new(),
//! });
//! let (mut trainer_box, mut outlet) = (TrainerBox::new(&PLAN, Instant::from_ticks(0)), Outlet::new(&PLAN));
//! trainer_box.edge(Side::Student, Edge { at: Instant::from_ticks(900), level: Level::High });
//! let now = Instant::from_ticks(1_000);
//! let step = trainer_box.step(now, Desk { lesson_switch: true, instructor_now: false });
//! assert_eq!(step.pulses, None); // nobody has been heard yet: the receiver's failsafe has the craft
//! assert_eq!(outlet.send(now, step.pulses.as_ref()), None);
//! ```
//!
//! # The check on the bench
//! A box that starts with the instructor-now button held, the lesson switch off and no instructor's train for two
//! seconds, checks the bench ([`handback::preflight`]) instead of flying: one pulse on lamp and beeper asks the student
//! for the next thing, two the instructor, three both; a very long one is a fault, and the pulses after it count its axis,
//! 1 for axis 0; a flutter at the end says that nothing was found. The throttle is sent its failsafe until the box is
//! powered off and on. That cannot begin in the air, where the instructor's train goes on through a reset.
//!
//! # Map
//! - [`Plan`]: what the builder of a box decides; [`CheckedPlan`]: the same, checked; [`PlanError`]: why not.
//! - [`TrainerBox`]: from edges to who flies and what is sent.
//! - [`Outlet`]: what is sent, edge by edge, and the two safeguards against a loop that hangs.
//! - [`Entry`], [`What`]: the log.
//!
//! Propellers off on the bench; failsafe first; a qualified instructor at the sticks.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![deny(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::unwrap_used, clippy::expect_used)]
#![deny(clippy::panic)]

mod beats;
mod check;
mod log;
mod outlet;
mod plan;
mod plan_error;
mod trainer_box;

pub use log::{Entry, What};
pub use outlet::{DEAD_MAN, Outlet};
pub use plan::{CheckedPlan, Plan};
pub use plan_error::{Part, PlanError};
pub use trainer_box::{Desk, Side, Step, TrainerBox};
