//! The lesson switch: settled, and seen off first (S2, S3).

use handback::{Duration, Policy};

use crate::Step;
use crate::normal::Rebase;
use crate::signals::Heard;

#[derive(Clone, Debug, Default, Hash)]
pub(crate) struct Switch {
    /// The position that was seen last, and since when.
    seen: Option<(bool, u64)>,
    /// Since when it has been seen off, as far as no loss came after that.
    off_since_loss: Option<u64>,
    off_first: bool,
}

/// What the switch says in one step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Position {
    pub(crate) on: bool,
    /// It has been seen where it is for `settle`.
    pub(crate) settled: bool,
    pub(crate) off_first: bool,
    /// What is missing of `settle`.
    pub(crate) left: Duration,
}

impl Position {
    /// S3: off for so long that latch and takeover end.
    pub(crate) const fn clears(self) -> bool {
        !self.on && self.settled
    }
}

impl Switch {
    pub(crate) fn normalise<const N: usize>(&mut self, policy: &Policy<N>, rebase: Rebase) {
        self.seen = self.seen.map(|(on, since)| (on, rebase.grant(since, policy.settle)));
        rebase.grants(&mut self.off_since_loss, policy.settle);
    }

    pub(crate) fn step<const N: usize>(&mut self, step: &Step<'_, N>, heard: Heard) -> Position {
        let (on, settle) = (step.inputs.lesson_switch, step.policy.settle);
        let since = self.seen.filter(|(position, _)| *position == on).map_or(step.now, |(_, since)| since);
        self.seen = Some((on, since));
        if heard.disturbed() || (heard.link_broke && step.policy.off_first_after_loss) {
            (self.off_first, self.off_since_loss) = (false, None);
        }
        if on {
            self.off_since_loss = None;
        } else {
            self.off_since_loss.get_or_insert(step.now);
        }
        self.off_first |= step.lasted(self.off_since_loss, settle);
        let (settled, left) = (step.lasted(Some(since), settle), step.left(Some(since), settle));
        Position { on, settled, off_first: self.off_first, left }
    }
}
