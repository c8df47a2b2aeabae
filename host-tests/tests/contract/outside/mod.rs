//! What others published, and the common practice of the trade, held against the engine. Each check names its source.

mod bistables;
mod crossfade;
mod exchange;
mod fixed_point;
mod machinery;
mod neutral_zone;
mod practice;
mod recordings;
mod timers;
