//! The calculation of false takeovers, against published values and against the engine itself.

mod band_limited;
mod coverage;
mod device;
mod drift;
mod engine;
mod hold;
mod noise;
mod published;
mod tables;
