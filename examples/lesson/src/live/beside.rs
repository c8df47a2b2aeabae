//! The engine with its reference, the plain threshold beside it, and the cues.

use std::path::Path;

use handback::cue::{CheckedCueRules, CueRules, Cues, Signs};
use handback::{CheckedPolicy, Deflection, Frame, Outcome, Pilot};

use crate::error::Fault;
use crate::lane::Lane;
use crate::plain::plain;
use crate::policy::checked;
use crate::row::Row;

/// The library's cues.
static CUES: CheckedCueRules = handback::checked!(CueRules::new());

/// Both engines of a lesson.
pub(super) struct Beside<const N: usize> {
    pub(super) engine: Counted<N>,
    pub(super) plain: Counted<N>,
    cues: Cues,
    /// Whether the reference agreed with every engine before the present one.
    agreed: bool,
}

/// An engine, and what its changes did since the lesson began.
pub(super) struct Counted<const N: usize> {
    lane: Lane<N>,
    before: Option<(Frame<N>, Pilot)>,
    /// How often it changed who flies.
    pub(super) changes: u64,
    /// The largest jump of the output in the step of the last change, in points.
    pub(super) jump: f64,
}

/// What comes of a step.
pub(super) struct Both<const N: usize> {
    pub(super) engine: Outcome<N>,
    pub(super) plain: Outcome<N>,
    pub(super) signs: Signs,
}

impl<const N: usize> Beside<N> {
    pub(super) fn new(policy: &CheckedPolicy<N>, names: &[String]) -> Result<Self, Fault> {
        Ok(Self {
            engine: Counted::new(Lane::with_reference(policy, names)),
            plain: Counted::new(Lane::new(&threshold(policy)?, names)),
            cues: Cues::new(&CUES),
            agreed: true,
        })
    }

    /// Goes on with new engines, which fly this policy.
    pub(super) fn change(&mut self, policy: &CheckedPolicy<N>, names: &[String]) -> Result<(), Fault> {
        let threshold = threshold(policy)?;
        self.agreed = self.agrees();
        self.engine.lane = Lane::with_reference(policy, names);
        self.plain.lane = Lane::new(&threshold, names);
        Ok(())
    }

    pub(super) fn step(&mut self, row: &Row<N>) -> Both<N> {
        let (engine, plain) = (self.engine.step(row), self.plain.step(row));
        Both { engine, plain, signs: self.cues.step(&engine) }
    }

    /// Whether the reference agreed in every step since the lesson began.
    pub(super) fn agrees(&self) -> bool {
        let agreement = &self.engine.lane.tally().agreement;
        self.agreed && agreement.decisions.count == 0 && agreement.outputs.count == 0
    }

    /// What the engine would say to this row. Nothing is flown.
    pub(super) fn would(&self, row: &Row<N>) -> Outcome<N> {
        self.engine.lane.would(row)
    }

    /// Where each stick rests in the student's turn, as far as it is known.
    pub(super) fn rests(&self) -> &[Option<Deflection>; N] {
        self.engine.lane.tally().latency.rests()
    }
}

impl<const N: usize> Counted<N> {
    fn new(lane: Lane<N>) -> Self {
        Self { lane, before: None, changes: 0, jump: 0.0 }
    }

    fn step(&mut self, row: &Row<N>) -> Outcome<N> {
        let outcome = self.lane.step(row, None);
        let now = (outcome.output, outcome.pilot);
        let (before, flew) = self.before.replace(now).unwrap_or(now);
        // A new engine takes the craft without an event.
        if outcome.pilot != flew {
            self.changes += 1;
            let ways = before.axes().iter().zip(outcome.output.axes());
            let jumps = ways.map(|(before, after)| (points(*after) - points(*before)).abs());
            self.jump = jumps.fold(0.0, f64::max);
        }
        outcome
    }
}

/// Hundredths of full travel, to a hundredth of them.
pub(super) fn points(deflection: Deflection) -> f64 {
    (f64::from(deflection.to_bits()) * 10_000.0 / 16_384.0).round() / 100.0
}

fn threshold<const N: usize>(policy: &CheckedPolicy<N>) -> Result<CheckedPolicy<N>, Fault> {
    checked(plain(*policy.policy()), Path::new("the plain threshold"))
}
