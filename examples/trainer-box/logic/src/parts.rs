//! The checked parts of a plan that a replay needs.

use handback::{CheckedChannels, CheckedPolicy, Micros};

use crate::plan::CheckedPlan;

impl<const N: usize, const M: usize, const S: usize> CheckedPlan<N, M, S> {
    /// The policy.
    pub const fn policy(&self) -> &CheckedPolicy<N> {
        &self.policy
    }

    /// The channel of each axis in the instructor's train.
    pub const fn instructor(&self) -> &CheckedChannels<Micros, N, M> {
        &self.instructor
    }

    /// The channel of each axis in the student's train.
    pub const fn student(&self) -> &CheckedChannels<Micros, N, S> {
        &self.student
    }
}
