//! A trainer box without its pins.
//!
//! The pulse trains of two transmitters go in, edge by edge. One train goes out to the craft, edge by edge. The
//! [engine](handback::Engine) decides who flies. The firmware of a board does no more than this:
//!
//! - It passes each edge of an input line, with its time, to [`TrainerBox::edge`].
//! - About every millisecond it calls [`TrainerBox::step`], which returns the pulses for the craft, the state of lamp
//!   and beeper, and the pilot. It passes the pulses to [`Outlet::send`].
//! - A timer interrupt calls [`Outlet::next_edge`] for the next edge of the craft's line and its time, sets the line at
//!   that time, and calls it again.
//! - It feeds the watchdog only while [`Outlet::is_alive`] is true.
//! - It moves the entries of [`TrainerBox::next_entry`] to its log.
//!
//! ```
//! use handback::cue::CueRules;
//! use handback::ppm::{DecoderSetup, Edge, EncoderSetup, Level};
//! use handback::{AxisRule, Channels, Deflection, Instant, Policy};
//! use trainer_box::{AxisName, CheckedPlan, Desk, Outlet, Plan, Side, TrainerBox};
//!
//! const STICK: AxisRule = AxisRule::sprung();
//! static PLAN: CheckedPlan<4, 8, 6> = handback::checked!(Plan {
//!     names: AxisName::all(["aileron", "elevator", "throttle", "rudder"]),
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
//! assert_eq!(step.pulses, None); // no frame has come yet: the receiver's failsafe acts
//! assert_eq!(outlet.send(now, step.pulses.as_ref()), None);
//! ```
//!
//! # The check on the bench
//! A box checks the bench ([`handback::preflight`]) instead of flying where it starts with the instructor-now button
//! held for two seconds, with the lesson switch off and without the instructor's train. One pulse on lamp and beeper
//! asks the student to do the next thing, two ask the instructor, three ask both. A very long pulse is a fault; the
//! number of pulses after it is its axis, 1 for axis 0. A flutter at the end means that nothing was found. The craft
//! gets the failsafe of the throttle until the box is powered off and on. The check cannot begin in the air, where the
//! instructor's train continues through a reset.
//!
//! # Map
//! - [`Plan`]: the decisions of the builder; [`CheckedPlan`]: a plan that passed its check; [`PlanError`]: why it did
//!   not. With the feature `serde` a plan can be kept in a file.
//! - [`TrainerBox`]: from edges to the pilot and the pulses for the craft.
//! - [`Row`]: one step of the engine, for a recording.
//! - [`Outlet`]: the train to the craft, edge by edge, and the two safeguards against a loop that hangs.
//! - [`Entry`], [`What`]: the log.
//! - [`FirstFault`]: what is wrong with a transmitter's train at a first power-up. [`Notice`]: its sign on lamp and
//!   beeper, and that of a stored plan that was refused.
//! - [`Pattern`]: pulses that people count; [`Beats`] plays them.
//! - [`Ear`]: finds level and number of channels of a train, whatever the plan says.
//!
//! Propellers off on the bench; failsafe first; a qualified instructor at the sticks.
#![no_std]
#![forbid(unsafe_code)]
#![deny(missing_docs)]
#![deny(clippy::arithmetic_side_effects, clippy::indexing_slicing, clippy::unwrap_used, clippy::expect_used)]
#![deny(clippy::panic)]

mod beats;
mod check;
mod ear;
mod first_fault;
mod log;
mod name;
mod notice;
mod outlet;
mod parts;
mod plan;
mod plan_error;
mod recording;
mod trainer_box;

pub use beats::{Beats, Pattern};
pub use ear::{Ear, Format, MOST_CHANNELS};
pub use first_fault::{FirstFault, FirstFaultKind};
pub use log::{Entry, What};
pub use name::{AxisName, NameFault};
pub use notice::Notice;
pub use outlet::{DEAD_MAN, Outlet};
pub use plan::{CheckedPlan, Plan};
pub use plan_error::{Part, PlanError};
pub use recording::{Received, Row};
pub use trainer_box::{Desk, Side, Step, TrainerBox};
