//! A normal form of the monitor's state, for a search over every state.

use std::hash::{Hash, Hasher};

use handback::{Duration, Instant, Outcome, Pilot};

use crate::Monitor;

/// The time of the last step in the normal form; longer than any duration of a policy.
const NOW: u64 = 1 << 32;

/// Moves times to the normal form, in which the last step was at [`NOW`] instead of here.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rebase(u64);

impl Rebase {
    /// As long before the last step as it was; at most `d`, which is all that a duration that grants asks.
    pub(crate) fn grant(self, since: u64, d: Duration) -> u64 {
        NOW - (self.0 - since).min(d.as_ticks().into())
    }

    /// The same where something has begun.
    pub(crate) fn grants(self, since: &mut Option<u64>, d: Duration) {
        *since = since.map(|since| self.grant(since, d));
    }

    /// The same for a duration that loses; what is older than it counts as lost.
    pub(crate) fn loses(self, seen: &mut Option<u64>, d: Duration) {
        *seen = seen.map(|seen| NOW - (self.0 - seen).min(u64::from(d.as_ticks()) + 1));
    }
}

impl<const N: usize> Monitor<N> {
    /// Moves the clock so that the last step was at instant 0, and shortens times that no longer decide anything. If the
    /// next step comes as long after the last one, it is judged as without this.
    pub fn normalise(&mut self) {
        let (policy, rebase) = (&self.policy, Rebase(self.now));
        self.signals.normalise(policy, rebase);
        self.sticks.normalise(policy, rebase);
        self.switch.normalise(policy, rebase);
        self.takeover.normalise(policy, rebase);
        self.share.normalise(policy, rebase);
        self.transfers.normalise(policy, rebase);
        self.now = NOW;
        let at = Instant::from_ticks(0);
        self.before = self.before.map(|before| Outcome { at, ..before });
    }
}

/// The state, without the policy. Of the outcome before, only what a later step asks of it.
impl<const N: usize> Hash for Monitor<N> {
    fn hash<H: Hasher>(&self, hasher: &mut H) {
        (self.now, self.started, &self.signals, &self.sticks).hash(hasher);
        (&self.switch, &self.takeover, &self.share, &self.transfers).hash(hasher);
        if let Some(before) = &self.before {
            (before.at.as_ticks(), before.output, before.pilot == Pilot::Nobody).hash(hasher);
            before.pilot.student().hash(hasher);
        }
    }
}
