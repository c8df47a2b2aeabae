//! PPM pulse trains: what comes out is what was sent, or nothing.

mod counter;
mod encoder;
mod faults;
mod limits;
mod many_faults;
mod noise;
mod offline;
mod polling;
mod round_trip;
mod setup;
mod sources;
mod wire;
