//! What people are told: one event for every change, and that something is waited for (A1, A2).

use handback::{Cause, Event};

use crate::Step;
use crate::broken::Judge;
use crate::signals::Heard;
use crate::sticks::Touched;

pub(crate) fn judge<const N: usize>(
    step: &Step<'_, N>,
    heard: Heard,
    touched: Touched,
    latched: bool,
    started: bool,
    judge: &mut Judge,
) {
    let (at, to) = (step.outcome.at, step.outcome.pilot);
    let from = step.before.map(|before| before.pilot).filter(|from| started && *from != to);
    let expected = from.map(|from| Event { at, from, to, cause: cause(step, heard, touched, latched) });
    judge.hold(step.outcome.event == expected, &["A1"], || {
        format!("the event {expected:?}, not {:?}", step.outcome.event)
    });
    let misses = step.has != step.policy.shared;
    judge.hold(step.outcome.waiting.is_some() == misses, &["A2"], || {
        format!("{} waited for, not {:?}", if misses { "something" } else { "nothing" }, step.outcome.waiting)
    });
}

/// The first cause that applies.
fn cause<const N: usize>(step: &Step<'_, N>, heard: Heard, touched: Touched, latched: bool) -> Cause {
    if heard.late_step {
        Cause::LateStep
    } else if heard.noticed || heard.lost {
        Cause::InstructorLost
    } else if heard.was_lost {
        Cause::InstructorBack
    } else if step.inputs.instructor_now {
        Cause::InstructorNow
    } else if heard.bad {
        Cause::BadFrame
    } else if !step.inputs.lesson_switch {
        Cause::SwitchOff
    } else if heard.link_frozen {
        Cause::LinkFrozen
    } else if heard.link_was_lost || !heard.link_good {
        Cause::LinkLost
    } else if let Some(axis) = touched.became_held.lowest() {
        Cause::Stick(axis)
    } else if latched {
        Cause::Latch
    } else {
        Cause::HandedBack
    }
}
