//! Numbers with a unit and a range: deflections, frames, sets of axes, time, and what a channel is read as.

#[cfg(feature = "serde")]
pub(crate) mod array;
mod axis_set;
mod deflection;
mod frame;
mod reading;
mod time;

pub use axis_set::AxisSet;
pub(crate) use axis_set::WideSet;
pub use deflection::Deflection;
pub use frame::Frame;
pub use reading::{Count, Counts, Micros, Pulse, Reading, Unit};
pub use time::{Duration, Instant};
