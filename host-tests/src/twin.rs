//! The engine and the float reference in lockstep (N3).

use handback::reference::Model;
use handback::{CheckedPolicy, Engine, Inputs, Instant, Outcome};

/// An engine that is compared with the float reference in every step.
#[derive(Clone, Debug)]
pub struct Twin<const N: usize> {
    engine: Engine<N, CheckedPolicy<N>>,
    model: Model<N>,
}

impl<const N: usize> Twin<N> {
    /// Engine and reference before their first step.
    pub fn new(policy: &CheckedPolicy<N>) -> Self {
        Self { engine: Engine::owning(*policy), model: Model::new(policy) }
    }

    /// Takes a step of both, and returns the outcome of the engine.
    ///
    /// # Panics
    /// If the outcome of the reference differs.
    pub fn step(&mut self, now: Instant, inputs: Inputs<'_, N>) -> Outcome<N> {
        let outcome = self.engine.step(now, inputs);
        assert_eq!(outcome, self.model.step(now, inputs), "N3: the engine (left) and the reference (right)");
        outcome
    }
}
