//! The stored plan: its file, the slots, power cuts, and what a box does with it.

mod damage;
mod file;
mod flash;
mod plans;
mod power_cut;
mod storing;
