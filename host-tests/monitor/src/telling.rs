//! What people are told: one event for every change, and that something is waited for (A1, A2).

use handback::{AxisSet, Cause, Duration, Event, Waiting};

use crate::Step;
use crate::broken::Judge;
use crate::share::Missing;
use crate::signals::Heard;
use crate::sticks::Touched;
use crate::switch::Position;

pub(crate) fn judge_event<const N: usize>(
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
}

/// The first thing that is waited for, while the student has less than the shared axes.
pub(crate) fn judge_waiting<const N: usize>(
    step: &Step<'_, N>,
    heard: Heard,
    switch: Position,
    latched: bool,
    missing: Missing,
    judge: &mut Judge,
) {
    let misses = step.has != step.policy.shared;
    let expected = misses.then(|| {
        if heard.lost {
            Waiting::InstructorSignal
        } else if !switch.on {
            Waiting::Switch
        } else if !switch.off_first {
            Waiting::SwitchOffFirst
        } else if !switch.settled {
            Waiting::Settling { left: switch.left }
        } else if latched {
            Waiting::Latch
        } else if heard.link_was_lost || !heard.link_good {
            Waiting::StudentLink { left: heard.link_left }
        } else if let Some(axis) = lowest(step.outcome.held) {
            Waiting::Held(axis)
        } else if let Some(left) = missing.dwell {
            Waiting::Dwell { left }
        } else {
            lowest(missing.gates).map_or(Waiting::Dwell { left: Duration::from_ticks(0) }, Waiting::Gate)
        }
    });
    judge.hold(step.outcome.waiting == expected, &["A2"], || {
        format!("{expected:?} to be waited for, not {:?}", step.outcome.waiting)
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
    } else if let Some(axis) = lowest(touched.became_held) {
        Cause::Stick(axis)
    } else if latched {
        Cause::Latch
    } else {
        Cause::HandedBack
    }
}

/// The lowest axis of a set; not by the engine's own `AxisSet::lowest`, which may be broken with it.
fn lowest(axes: AxisSet) -> Option<u8> {
    (0..16).find(|axis| axes.contains(*axis))
}
