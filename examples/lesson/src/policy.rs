//! A policy in four languages: the table of its fields, and the files and sources that are read and printed from it.
//!
//! A new field of [`handback::Policy`] is one row in [`fields`] and one line in `default.toml`; a test fails until both
//! are there.

mod default;
mod fields;
mod file;
mod print_c;
mod print_rust;
mod print_toml;

pub(crate) use default::{checked, default_policy};
pub(crate) use file::{DEFAULT, PolicyFile};
pub(crate) use print_c::CPolicy;
pub(crate) use print_rust::RustPolicy;
pub(crate) use print_toml::TomlPolicy;
