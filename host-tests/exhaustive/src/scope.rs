//! What is searched: policies, and the inputs that any step may bring.
//!
//! Deflections are a few units of 2^-14 and durations 1 to 3 us, so that each value lies at a threshold or beside it.

mod alphabet;
mod cover;
mod one;
mod options;
mod two;

use handback::Policy;

use crate::node::Input;

pub use one::one_axis;
pub use two::two_axes;

/// A policy and every input that a step may bring.
#[derive(Clone, Debug)]
pub struct Scope<const N: usize> {
    /// The options of the policy, in words.
    pub name: String,
    /// The policy.
    pub policy: Policy<N>,
    /// Every input.
    pub inputs: Vec<Input<N>>,
}

/// How much is searched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Extent {
    /// Every combination of the values of this many options is in some policy.
    pub strength: usize,
    /// How many values each part of an input has.
    pub inputs: Inputs,
}

/// How many values each part of an input has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Inputs {
    /// Sticks at rest and past `engage`; steps of the shortest time, and late ones.
    Coarse,
    /// Sticks at and beside each threshold, on both sides; steps of no time and of the longest that is not late, too.
    Fine,
}
