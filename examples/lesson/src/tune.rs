//! Thresholds from a recording of sticks that nobody touched.

pub(crate) mod advice;
pub(crate) mod rate;
pub(crate) mod rest;
#[cfg(test)]
mod tests;
