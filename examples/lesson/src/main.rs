//! Flies lessons through the handback engine, simulated or recorded, and shows who flew when and why.

mod decisions;
mod error;
mod output;
mod row;
mod trace;

fn main() {}
