//! The engine compared with published material and with the common practice of the trade. Each check names its source.

mod bistables;
mod crossfade;
mod exchange;
mod fixed_point;
mod machinery;
mod neutral_zone;
mod practice;
mod recordings;
mod timers;
