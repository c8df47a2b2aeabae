//! The preflight: whole bench sessions with two simulated transmitters, two people and the real engine.

mod chaos;
mod faults;
mod flown;
mod healthy;
mod held_up;
mod people;
mod session;
mod start;
mod transmitter;
mod words;
