//! Holds the engine to the contract (`core/CONTRACT.md`) and to the world outside this project.
//!
//! A test scripts a [`Lesson`] in a line or two. Each step of it is checked three times over: by what the test asks, by
//! the float reference in lockstep ([`Twin`]), and by the [monitor](handback_monitor), which goes by the rules alone.
//!
//! ```
//! use handback::Cause;
//! use handback_host_tests::{lesson, points};
//!
//! lesson()
//!     .student_flying()
//!     .student(0, points(30))
//!     .step()
//!     .student_has_all()
//!     .roll(3)
//!     .step()
//!     .instructor_has_the_craft()
//!     .because(Cause::Stick(0));
//! ```
//!
//! The tests: one file per rule group in `tests/contract/`, what others published in `tests/contract/outside/`, and the
//! table of rules and tests in `RULES.md`.

mod boundaries;
mod lesson;
mod policies;
mod quantities;
mod questions;
mod random;
pub mod rest_noise;
mod runs;
mod twin;
mod watch;

pub use boundaries::{beyond, exceeded, reached, within};
pub use lesson::{Lesson, STEP, lesson, lesson_with};
pub use policies::{bare, parked, sprung, unsprung};
pub use quantities::{around, axes, ms, points, units, us};
pub use random::normal;
pub use runs::with_run;
pub use seeded::Random;
pub use twin::Twin;
pub use watch::Watch;

/// A set-up with other fields than its base: `with!(bare::<2>(), watched: axes(&[1]))`. A field alone takes the variable
/// of its name.
#[macro_export]
macro_rules! with {
    (@value $field:ident) => { $field };
    (@value $field:ident $value:expr) => { $value };
    ($base:expr, $($field:ident $(: $value:expr)?),+ $(,)?) => {{
        let mut changed = $base;
        $(changed.$field = $crate::with!(@value $field $($value)?);)+
        changed
    }};
}
