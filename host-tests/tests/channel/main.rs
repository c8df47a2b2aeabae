//! Channels: from pulses and counts to deflections and back. One binary, so that it links once.

mod centres;
mod exact;
mod oracle;
mod order;
mod out_of_range;
mod outside;
mod random;
mod reading;
mod round_trip;
mod set_up;
mod throws;
