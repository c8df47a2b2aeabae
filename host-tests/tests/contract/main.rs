//! The contract, rule by rule, and what the world outside says of it. One binary, so that it links once.

mod clock;
mod fade;
mod handing_back;
mod instructor_signal;
mod latch;
mod pickup;
mod rest;
mod start_and_switch;
mod student_link;
mod taking_over;
mod telling;
