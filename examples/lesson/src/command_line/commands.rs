//! The commands: each reads its words and files, computes, and writes what it found. Nothing imports a command but
//! `main`.

pub(crate) mod box_file;
pub(crate) mod cost;
pub(crate) mod debrief;
pub(crate) mod fly;
pub(crate) mod policy;
pub(crate) mod preflight;
pub(crate) mod replay;
pub(crate) mod tune;
