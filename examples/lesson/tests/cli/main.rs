//! The tool as users see it: words in, files and messages out.

mod bad_input;
mod boxed;
mod commands;
mod cost;
mod desk;
mod outputs;
mod policy;
mod preflight;
mod reference;
mod tune;
