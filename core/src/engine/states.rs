//! For a search over every state of the engine: a normal form of a state, and its hash. Behind the feature `states`,
//! because a product needs neither.

use core::borrow::Borrow;
use core::hash::{Hash, Hasher};

use super::{Engine, State};
use crate::policy::CheckedPolicy;
use crate::quantity::Instant;

impl<const N: usize, P: Borrow<CheckedPolicy<N>>> Engine<N, P> {
    /// Moves the clock so that the last step was at instant 0, shortens a time that no longer decides anything, and
    /// clears what no step will read. If the next step comes as long after the last one, its outcome is the same.
    #[doc(hidden)]
    pub fn normalise(&mut self) {
        let (policy, state) = (self.policy.borrow(), &mut self.state);
        state.signals.normalise(policy);
        state.sticks.normalise(policy, state.last);
        state.transfer.normalise(policy, state.last);
        state.last = Instant::from_ticks(0);
    }

    /// Hashes the state, and not the policy.
    #[doc(hidden)]
    pub fn hash_state(&self, hasher: &mut impl Hasher) {
        let State { last, share, latch, switch, signals, sticks, transfer } = &self.state;
        (last.as_ticks(), share, latch, switch, signals, sticks, transfer).hash(hasher);
    }
}
