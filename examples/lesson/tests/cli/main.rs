//! The tool as users see it: words in, files and messages out.

mod bad_input;
#[cfg(unix)]
mod box_file;
mod boxed;
#[cfg(unix)]
mod builders_page;
mod commands;
mod cost;
mod desk;
mod learn;
mod live;
mod looked;
mod outputs;
mod policy;
mod preflight;
mod record;
mod reference;
#[cfg(unix)]
mod stand_in;
mod tune;
