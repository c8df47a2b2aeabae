//! Losses of both signals as the contract defines them (I1, L1, L2, L3, K1), from the times of good frames.
//!
//! The outcomes do not show all losses. A loss that ends in the same step does not show while the instructor flies.

use handback::Policy;

/// The durations of the policy that define losses, in microseconds.
#[derive(Clone, Copy, Debug)]
struct Limits {
    timeout: u64,
    requalify: u64,
    late_step: u64,
}

/// The state of the student link (L2).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Link {
    Lost,
    /// Qualifying since this time, in microseconds.
    Qualifying(u64),
    Good,
}

/// The number of losses so far.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Losses {
    /// Of the instructor's signal (I1, K1).
    pub(crate) instructor: u64,
    /// Of a good student link (L3, K1).
    pub(crate) student: u64,
    /// Of a student link that was still qualifying (L2, K1).
    pub(crate) unqualified: u64,
    /// Late steps (K1).
    pub(crate) late_steps: u64,
    limits: Limits,
    last_us: Option<u64>,
    /// The time of the instructor's last good frame; `None` while the signal is lost.
    instructor_us: Option<u64>,
    /// The time of the student's last good frame.
    student_us: u64,
    link: Link,
}

impl Losses {
    pub(super) fn new<const N: usize>(policy: &Policy<N>) -> Self {
        let [timeout, requalify, late_step] =
            [policy.timeout, policy.requalify, policy.late_step].map(|d| u64::from(d.as_ticks()));
        Self {
            instructor: 0,
            student: 0,
            unqualified: 0,
            late_steps: 0,
            limits: Limits { timeout, requalify, late_step },
            last_us: None,
            instructor_us: None,
            student_us: 0,
            link: Link::Lost,
        }
    }

    /// Counts one step at this time. `instructor` and `student` say whether it brought a good frame of either.
    pub(super) fn observe(&mut self, now_us: u64, instructor: bool, student: bool) {
        let Limits { timeout, requalify, late_step } = self.limits;
        let last_us = self.last_us.replace(now_us).unwrap_or(now_us);
        // A time that runs backwards is a very large dt.
        let late_step = now_us.checked_sub(last_us).is_none_or(|dt| dt > late_step);
        // Losses come before the frames of this step (K1). Up to `timeout` the last frame stands in (I1, L1).
        let lost = |then_us: u64| late_step || now_us.saturating_sub(then_us) > timeout;
        self.late_steps += u64::from(late_step);

        if self.instructor_us.take_if(|then_us| lost(*then_us)).is_some() {
            self.instructor += 1;
        }
        if instructor {
            self.instructor_us = Some(now_us);
        }

        if self.link != Link::Lost && lost(self.student_us) {
            *(if self.link == Link::Good { &mut self.student } else { &mut self.unqualified }) += 1;
            self.link = Link::Lost;
        }
        if student {
            self.student_us = now_us;
            if self.link == Link::Lost {
                self.link = Link::Qualifying(now_us);
            }
        }
        if let Link::Qualifying(since_us) = self.link
            && now_us - since_us >= requalify
        {
            self.link = Link::Good;
        }
    }
}

#[cfg(test)]
mod tests;
