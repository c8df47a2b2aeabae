//! A recorded lesson being flown again: what is needed before its first row.

use crate::compared::Compared;
use crate::error::Fault;
use crate::lane::Lane;
use crate::plain::plain;
use crate::policy::{PolicyFile, checked, default_policy};
use crate::trace::{Read, Steps, TraceReader};

/// The rows of a trace, and what flies them.
pub(crate) struct Replay<const N: usize> {
    pub(crate) steps: Steps<N>,
    /// The policy, with the float reference in lockstep.
    pub(crate) shipped: Lane<N>,
    /// The same policy as a plain threshold.
    pub(crate) threshold: Lane<N>,
    pub(crate) check: Compared,
}

impl<const N: usize> Replay<N> {
    /// A trace with the policy or the box of `file`, or with the default policy. `names` are those of the axes.
    pub(crate) fn new(trace: TraceReader, file: Option<PolicyFile>, names: &[String]) -> Result<Self, Fault> {
        let path = trace.path().to_owned();
        let file = file.map(|file| file.arranged(&path, names)).transpose()?;
        let (policy, plan) = match &file {
            Some(file) => (file.check::<N>()?, file.plan::<N>()?),
            None => (checked(default_policy(names), &path)?, None),
        };
        let steps = Steps::new(trace, plan.as_ref())?;
        let compared = checked(plain(*policy.policy()), &path)?;
        let title = format!("Recorded lesson, {}", path.file_name().unwrap_or_default().display());
        Ok(Self {
            check: Compared::with(steps.recorder()),
            steps,
            shipped: Lane::with_reference(&policy, names).titled(title),
            threshold: Lane::new(&compared, names),
        })
    }
}

impl<const N: usize> Lane<N> {
    /// Flies a row that was read.
    pub(crate) fn again(&mut self, Read { row, said }: &Read<N>) -> handback::Outcome<N> {
        if said.begins {
            self.begin_again();
        }
        self.step(row, None)
    }
}
