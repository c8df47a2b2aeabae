//! The calculation of false takeovers, against what others published and against the engine itself.

mod band_limited;
mod coverage;
mod device;
mod engine;
mod hold;
mod noise;
mod published;
mod tables;
