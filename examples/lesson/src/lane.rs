//! One policy being flown: the engine, the float reference beside it where it is wanted, and what comes of it.

use handback::reference::Model;
use handback::{CheckedPolicy, Engine, Outcome};

use crate::row::{Row, Truth};
use crate::tally::{Differs, Tally};

/// An engine and the tally of its lesson.
pub(crate) struct Lane<const N: usize> {
    policy: CheckedPolicy<N>,
    engine: Engine<N, CheckedPolicy<N>>,
    reference: Option<Model<N>>,
    tally: Tally<N>,
}

impl<const N: usize> Lane<N> {
    /// A lane for axes of these names.
    pub(crate) fn new(policy: &CheckedPolicy<N>, names: &[String]) -> Self {
        Self {
            policy: *policy,
            engine: Engine::owning(*policy),
            reference: None,
            tally: Tally::new(names.to_vec(), policy),
        }
    }

    /// The same, of a lesson that is called this.
    pub(crate) fn titled(mut self, title: String) -> Self {
        self.tally.set_title(title);
        self
    }

    /// The same with the float reference in lockstep: every step of it is held against the engine's (N3).
    pub(crate) fn with_reference(policy: &CheckedPolicy<N>, names: &[String]) -> Self {
        Self { reference: Some(Model::new(policy)), ..Self::new(policy, names) }
    }

    /// Begins with a new engine, as the box does where it begins a recording.
    pub(crate) fn begin_again(&mut self) {
        self.engine = Engine::owning(self.policy);
        self.reference = self.reference.as_ref().map(|_| Model::new(&self.policy));
    }

    /// Flies one row.
    pub(crate) fn step(&mut self, row: &Row<N>, truth: Option<&Truth>) -> Outcome<N> {
        let outcome = self.engine.step(row.now(), row.inputs());
        let differs = match &mut self.reference {
            Some(reference) => difference(&outcome, &reference.step(row.now(), row.inputs())),
            None => Differs::default(),
        };
        self.tally.observe(row, &outcome, truth, differs);
        outcome
    }

    /// What the engine would say to this row. Nothing is flown.
    pub(crate) fn would(&self, row: &Row<N>) -> Outcome<N> {
        self.engine.clone().step(row.now(), row.inputs())
    }

    /// What came of it so far.
    pub(crate) fn tally(&self) -> &Tally<N> {
        &self.tally
    }

    /// What came of it.
    pub(crate) fn into_tally(self) -> Tally<N> {
        self.tally
    }
}

fn difference<const N: usize>(engine: &Outcome<N>, reference: &Outcome<N>) -> Differs {
    let output = engine.output != reference.output;
    // All that is no output is a decision.
    Differs { decision: Outcome { output: reference.output, ..*engine } != *reference, output }
}
