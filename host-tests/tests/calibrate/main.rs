//! Calibration: what is measured, against floats; what is recommended, against simulated sticks and recorded ones.

mod gimbal;
mod hold;
