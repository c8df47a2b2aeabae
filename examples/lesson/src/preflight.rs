//! A bench before flight: the people and transmitters of a simulated session with its faults, and the sheet of a check.

pub(crate) mod bench;
pub(crate) mod fault;
mod people;
pub(crate) mod sheet;
pub(crate) mod throws;
