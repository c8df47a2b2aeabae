//! The state of the signals (L, I, K). Both sides age alike; the student link must also qualify.

use super::quantity::micros;
use crate::engine::{Link, Reception};
use crate::policy::Policy;
use crate::quantity::{Deflection, Duration, Frame};

/// A good frame has every axis that matters within ±`plausible`.
pub(super) fn reception<const N: usize>(
    frame: Option<&Frame<N>>,
    plausible: Deflection,
    matters: impl Fn(u8) -> bool,
) -> Reception {
    let Some(frame) = frame else { return Reception::Nothing };
    let within = |x: &Deflection| f64::from(x.to_bits()).abs() <= f64::from(plausible.to_bits());
    if (0..).zip(frame.axes()).all(|(axis, x)| !matters(axis) || within(x)) { Reception::Good } else { Reception::Bad }
}

/// The time since the step that brought the last good frame.
#[derive(Clone, Copy, Debug)]
struct Age(f64);

impl Age {
    /// No frame yet, or none that counts (K1): older than any duration.
    const ENDLESS: Self = Self(f64::INFINITY);

    fn passes(&mut self, dt: f64, late_step: bool) {
        *self = if late_step { Self::ENDLESS } else { Self(self.0 + dt) };
    }

    /// A duration that loses a signal is over when elapsed > d.
    fn exceeds(self, limit: Duration) -> bool {
        self.0 > micros(limit)
    }
}

/// The instructor's signal (I).
#[derive(Clone, Copy, Debug)]
pub(super) struct InstructorSignal {
    age: Age,
    /// Lost at the end of the last step.
    pub(super) lost: bool,
    /// Lost at some point of the last step, even if only until its frame was read.
    pub(super) was_lost: bool,
    /// The loss was noticed in the last step (I1).
    pub(super) noticed: bool,
}

impl InstructorSignal {
    /// S1: no frame has come, so I2 holds. This counts as no loss.
    pub(super) const fn new() -> Self {
        Self { age: Age::ENDLESS, lost: true, was_lost: true, noticed: false }
    }

    pub(super) fn step(&mut self, dt: f64, late_step: bool, good: bool, timeout: Duration) {
        self.age.passes(dt, late_step);
        self.was_lost = self.age.exceeds(timeout);
        self.noticed = self.was_lost && !self.lost;
        if good {
            self.age = Age(0.0);
        }
        self.lost = self.was_lost && !good;
    }

    /// I1: the step that brings a good frame brings the signal back.
    pub(super) fn is_back(&self) -> bool {
        self.was_lost && !self.lost
    }

    /// I2: whether the last good frame is older than this.
    pub(super) fn is_past(&self, failsafe_after: Duration) -> bool {
        self.age.exceeds(failsafe_after)
    }
}

/// The student link (L).
#[derive(Clone, Copy, Debug)]
pub(super) struct StudentLink {
    age: Age,
    /// L4: time since the step that brought a change of a shared axis.
    still_for: f64,
    /// L4: frozen at the end of the last step, and not lost by its age.
    pub(super) frozen: bool,
    /// Its state at the end of the last step.
    pub(super) state: Link,
    /// Time for which it has been qualifying (L2).
    pub(super) qualified_for: f64,
    /// Lost at some point of the last step, even if only until its frame was read.
    pub(super) was_lost: bool,
    /// The link was good, and the last step lost it (L3).
    pub(super) broke: bool,
}

impl StudentLink {
    /// L2: it starts lost.
    pub(super) const fn new() -> Self {
        Self {
            age: Age::ENDLESS,
            still_for: f64::INFINITY,
            frozen: false,
            state: Link::Lost,
            qualified_for: 0.0,
            was_lost: true,
            broke: false,
        }
    }

    /// `differs`: a shared axis of the frame that came differs from the last good frame.
    pub(super) fn step<const N: usize>(
        &mut self,
        dt: f64,
        late_step: bool,
        good: bool,
        differs: bool,
        policy: &Policy<N>,
    ) {
        self.age.passes(dt, late_step);
        let silent = self.age.exceeds(policy.timeout);
        // The first good frame counts as a change: before it, the time is infinite.
        let changed = good && (differs || self.still_for.is_infinite());
        self.still_for = if changed { 0.0 } else { self.still_for + dt };
        let frozen = policy.frozen_after.is_some_and(|limit| self.still_for > micros(limit));
        self.frozen = frozen && !silent;
        self.was_lost = silent || frozen;
        self.broke = self.was_lost && self.state == Link::Good;
        if self.was_lost {
            self.state = Link::Lost;
        }
        self.qualified_for += dt;
        if good {
            self.age = Age(0.0);
            if self.state == Link::Lost && !frozen {
                self.state = Link::Qualifying;
                self.qualified_for = 0.0;
            }
        }
        if self.state == Link::Qualifying && self.qualified_for >= micros(policy.requalify) {
            self.state = Link::Good;
        }
    }

    /// T4: whether the link was lost at any point of the step, or is not good.
    pub(super) fn forbids(&self) -> bool {
        self.was_lost || self.state != Link::Good
    }
}
