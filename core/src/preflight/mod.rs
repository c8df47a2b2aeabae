//! The preflight: a check of the whole bench before flight, two transmitters, switch, button and policy together.
//!
//! A [`Preflight`] asks for one named action after another ([`Action`]): each stick first from the student, then from
//! the instructor; then the lesson switch, a takeover by each watched stick, the student's transmitter off and on, and
//! the instructor-now button. It takes inputs and outcome of every step of the engine, and reports for each action
//! whether it passed, failed ([`Finding`], with what was seen against what was expected) or is still waited for. A
//! failed action does not end the check: one session finds every fault. The sequence follows from the policy: axes that
//! are neither watched nor shared are left out, and a latch is cleared with the switch. Times and distances that are
//! not in the policy are own choices unless a source stands beside them.
//!
//! The check judges what the engine cannot know: order, direction, ends and centres of the sticks, switch, button and
//! link. Of a takeover it judges the outcome alone. It does not judge whether the engine keeps the contract's rules in
//! each step.
//!
//! ```
//! use handback::preflight::{Finding, Preflight, Side, Action};
//! use handback::{AxisRule, Deflection, Engine, Frame, Inputs, Instant, Policy};
//!
//! // One axis. The student's is reversed; both people do what is asked.
//! let policy = Policy::new([AxisRule::sprung()]).check()?;
//! let (mut engine, mut preflight) = (Engine::new(&policy), Preflight::new(&policy));
//! let (mut step, mut switch) = (Action::Start, false);
//! for n in 0..3000_u32 {
//!     let (mut student, mut instructor) = (0, 0);
//!     match step {
//!         Action::Move { side, end, .. } => {
//!             let way = if end == handback::preflight::End::Positive { 100 } else { -100 };
//!             if side == Side::Student { student = -way } else { instructor = way }
//!         }
//!         Action::TakeOver { .. } => instructor = 10,
//!         Action::HandOver => switch = true,
//!         Action::Again { .. } => switch = n % 50 >= 10,
//!         Action::Finish => switch = false,
//!         _ => {}
//!     }
//!     let button = step == Action::Press && n % 100 == 0;
//!     let [student, instructor] = [student, instructor].map(|at| Frame::new([Deflection::from_points(at)]));
//!     let inputs = Inputs {
//!         instructor: Some(&instructor),
//!         student: Some(&student).filter(|_| step != Action::LinkOff),
//!         lesson_switch: switch,
//!         instructor_now: button,
//!     };
//!     let outcome = engine.step(Instant::from_ticks(n * 20_000), inputs);
//!     let progress = preflight.step(inputs, &outcome); // progress.output is what to send
//!     step = progress.step;
//! }
//! assert_eq!(preflight.asked(), Action::Done);
//! assert_eq!(preflight.findings(), [Finding::Reversed { side: Side::Student, axis: 0 }]);
//! # Ok::<(), handback::PolicyError>(())
//! ```
//!
//! # The throttle
//! The check does not begin with a throttle up ([`Obstacle`] names the side and the distance). Its output
//! ([`PreflightProgress::output`]) has every axis without a spring at its failsafe from the first step to the last,
//! whoever moves which stick. An axis counts as one without a spring if it rests where it is left, or if its rest or
//! its failsafe is far from its centre.
//!
//! This does not protect against a wrong channel map, which the check is to find: **propellers off**, the craft held,
//! and the receiver's failsafe set and tried before. A check on the bench does not cover range: check range too, with
//! both transmitters, and keep a qualified instructor beside the student; local and club rules come first.
//!
//! # What it cannot see
//! Anything between this box and the craft's surfaces, and people who do something else than asked: a stick that is
//! moved the wrong way counts as reversed. A student's throw that is short on purpose is a finding unless
//! [`Preflight::with_student_throws`] gives it.

mod facts;
mod finding;
mod gate;
mod guide;
mod hand;
mod lesson;
mod list;
mod plan;
mod sequence;
mod spot;
mod sticks;
mod words;

pub use finding::Finding;
pub use gate::Obstacle;
pub use guide::{Preflight, PreflightProgress, Verdict};
pub use sequence::Action;
pub use spot::{End, Side};
