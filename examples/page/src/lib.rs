//! The lesson tool for a page in a browser: one request in JSON, one answer. The types of [`fly`] are the protocol.
#![forbid(unsafe_code)]

pub mod desk;
pub mod fly;
