//! A policy, and a whole box, in four languages: the tables of their fields, and the files and sources that are read
//! and printed from them.
//!
//! A new field of [`handback::Policy`] is one row in [`fields`] and one line in `default.toml`; a test fails until both
//! are there.

mod default;
mod default_box;
pub(crate) mod fields;
mod file;
mod print_c;
mod print_rust;
mod print_toml;
mod wiring;

pub(crate) use default::{checked, default_policy};
pub(crate) use default_box::default_box;
pub(crate) use file::{DEFAULT, PolicyFile};
pub(crate) use print_c::CPolicy;
pub(crate) use print_rust::RustPolicy;
pub(crate) use print_toml::{Millis, TomlPolicy};
pub(crate) use wiring::{BoxPlan, MOST_CHANNELS, Side};
