//! Flies lessons through the handback engine, simulated or recorded, and shows who flew when and why.

mod decisions;
mod error;
mod names;
mod output;
mod policy_file;
mod row;
mod trace;

fn main() {}
