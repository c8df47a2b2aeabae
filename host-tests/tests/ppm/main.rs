//! PPM pulse trains: the frame that was sent comes out, or none.

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
mod words;
