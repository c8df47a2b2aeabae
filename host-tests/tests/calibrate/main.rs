//! Calibration: measurements against floats, recommendations against simulated and recorded sticks.

mod advice;
mod coverage;
mod edges;
mod gimbal;
mod guide;
mod hold;
mod meter;
mod normal;
mod pilot;
mod recordings;
mod tables;
