//! Calibration: what is measured, against floats; what is recommended, against simulated sticks and recorded ones.

mod advice;
mod coverage;
mod gimbal;
mod guide;
mod hold;
mod meter;
mod normal;
mod pilot;
mod recordings;
mod tables;
