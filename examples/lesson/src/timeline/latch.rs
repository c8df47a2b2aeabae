//! Whether a change of pilot is latched.

use handback::{AxisSet, Cause, Event, Outcome, Policy, Waiting};

/// Whether the student gets back what was taken only after the lesson switch was turned off and on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Latch {
    No,
    Yes,
    /// By `keep` of this axis.
    By(u8),
}

/// The axes with `keep`.
pub(crate) fn keeping<const N: usize>(policy: &Policy<N>) -> AxisSet {
    (0_u8..).zip(&policy.axes).filter(|(_, rule)| rule.keep).fold(AxisSet::EMPTY, |all, (axis, _)| all.with(axis))
}

impl Latch {
    /// After a step with a change. `keep` are the axes with `keep`, `before` those that were held in the step before.
    pub(crate) fn of<const N: usize>(outcome: &Outcome<N>, before: AxisSet, keep: AxisSet) -> Self {
        let loses = |event: Event| !event.from.student().is_subset_of(event.to.student());
        // Without the instructor's signal the switch is waited for too, after it (S2).
        let asks =
            matches!(outcome.waiting, Some(Waiting::Latch | Waiting::SwitchOffFirst | Waiting::InstructorSignal));
        if !asks || !outcome.event.is_some_and(loses) {
            return Self::No;
        }
        match outcome.event.map(|event| event.cause) {
            Some(Cause::Stick(_)) => {
                keep.iter().find(|axis| outcome.held.except(before).contains(*axis)).map_or(Self::Yes, Self::By)
            }
            _ => Self::Yes,
        }
    }
}
