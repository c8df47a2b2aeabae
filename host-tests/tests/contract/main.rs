//! The contract, rule by rule, and what the world outside says of it. One binary, so that it links once.

mod clock;
mod conditions;
mod const_policy;
mod defaults;
mod fade;
mod frozen_link;
mod garbage;
mod handing_back;
mod instructor_signal;
mod latch;
mod numbers;
mod outside;
mod pickup;
mod policy;
mod rest;
mod rule_table;
mod same_bits;
mod start_and_switch;
mod step_sources;
mod student_link;
mod taking_over;
mod telling;
