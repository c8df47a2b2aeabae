//! What comes out: whose value it is, waits and fades included (T6, H4, H5, I2, L1).

use std::cmp::Ordering;

use handback::{AxisRule, Deflection, Duration, Policy, Transfer};

use crate::broken::Judge;
use crate::normal::Rebase;
use crate::signals::{Heard, Signals};
use crate::sticks::{Sticks, Touched};
use crate::{Step, apart};

#[derive(Clone, Debug, Hash)]
pub(crate) struct Transfers<const N: usize> {
    axes: [Way; N],
    /// The one timer of all fades.
    fade_since: u64,
    t4_asked: bool,
}

/// How the output of one axis moves.
#[derive(Clone, Copy, Debug, Default, Hash)]
struct Way {
    wait: Option<Wait>,
    /// The axis fades, from here.
    from: Option<Deflection>,
}

/// A wait for the instructor's stick to pick up the output (T6).
#[derive(Clone, Copy, Debug, Hash)]
struct Wait {
    since: u64,
    /// Where the stick was then, seen from the output.
    began: Ordering,
    /// The smallest distance since then, in units.
    nearest: i32,
}

/// What happens to one axis in one step.
struct Turn<'a> {
    axis: u8,
    rule: &'a AxisRule,
    /// The output of the step before, the stick.
    last: Deflection,
    stick: Deflection,
    left: bool,
    /// K1, I1 or T7.
    waits_end: bool,
}

impl<const N: usize> Transfers<N> {
    pub(crate) const fn new() -> Self {
        Self { axes: [Way { wait: None, from: None }; N], fade_since: 0, t4_asked: true }
    }

    pub(crate) fn normalise(&mut self, policy: &Policy<N>, rebase: Rebase) {
        for wait in self.axes.iter_mut().filter_map(|way| way.wait.as_mut()) {
            wait.since = rebase.grant(wait.since, policy.pickup_max);
        }
        let fades = self.axes.iter().any(|way| way.from.is_some());
        // Without a fade, its time means nothing.
        self.fade_since = if fades { rebase.grant(self.fade_since, policy.fade) } else { 0 };
    }

    #[allow(clippy::too_many_arguments)] // one value of each stage before
    pub(crate) fn step(
        &mut self,
        step: &Step<'_, N>,
        heard: Heard,
        t4: bool,
        touched: Touched,
        signals: &Signals<N>,
        sticks: &Sticks<N>,
        judge: &mut Judge,
    ) {
        let waits_end = heard.was_lost || step.inputs.instructor_now;
        let asked_before = std::mem::replace(&mut self.t4_asked, t4);
        let t4_begins = t4 && !asked_before;
        let cut = t4_begins || waits_end || step.lasted(Some(self.fade_since), step.policy.fade);
        let taken = step.taken_by(touched.became_held);
        let mut begins = false;
        for (axis, (way, rule)) in (0..).zip(self.axes.iter_mut().zip(&step.policy.axes)) {
            let (left, joined) = (step.had.except(step.has).contains(axis), step.has.except(step.had).contains(axis));
            if cut || left || taken.contains(axis) {
                way.from = None;
            }
            let turn = Turn {
                axis,
                rule,
                last: last(step, axis),
                stick: signals.instructors().axes()[usize::from(axis)],
                left,
                waits_end,
            };
            if way.wait(step, &turn, sticks, judge) || joined {
                (way.from, begins) = (Some(turn.last), true);
            }
        }
        if begins {
            self.fade_since = step.now;
        }
        let fades = step.policy.fade.as_ticks() > 0;
        for (axis, way) in (0..).zip(&mut self.axes) {
            way.from = way.from.filter(|_| fades).map(|from| if begins { last(step, axis) } else { from });
            judge_output(step, axis, way, heard.nobody, step.now - self.fade_since, signals, judge);
        }
    }
}

impl Way {
    /// Judges whether the axis waits; true where its wait has just timed out, so that it fades.
    fn wait<const N: usize>(
        &mut self,
        step: &Step<'_, N>,
        turn: &Turn<'_>,
        sticks: &Sticks<N>,
        judge: &mut Judge,
    ) -> bool {
        let (x, h, axis) = (turn.stick, turn.last, turn.axis);
        let (side, distance) = (x.to_bits().cmp(&h.to_bits()), apart(x, h));
        let begins = turn.left && turn.rule.transfer == Transfer::Pickup;
        let wait = if begins {
            Some(Wait { since: step.now, began: side, nearest: distance })
        } else {
            self.wait.map(|wait| Wait { nearest: wait.nearest.min(distance), ..wait })
        };
        let goes_on = wait.filter(|wait| {
            let led_away = begins && step.outcome.held.contains(axis) && !moved_towards(sticks.rest(axis), x, h);
            let met = side == Ordering::Equal || side != wait.began;
            let moves_away = distance - wait.nearest > i32::from(turn.rule.engage.to_bits());
            !(turn.waits_end || met || led_away || moves_away || step.has.contains(axis))
        });
        let timed_out = goes_on.is_some_and(|wait| step.lasted(Some(wait.since), step.policy.pickup_max));
        self.wait = goes_on.filter(|_| !timed_out);
        let (expected, waits) = (self.wait.is_some(), step.outcome.pickup.contains(axis));
        judge.hold(waits == expected, &["T6"], || {
            let not = if expected { "" } else { "not " };
            format!("axis {axis} {not}to wait to be picked up: stick {x}, last output {h}")
        });
        timed_out
    }
}

/// T6: the stick was moved from its rest towards the output.
fn moved_towards(rest: Option<Deflection>, x: Deflection, h: Deflection) -> bool {
    let [x, h] = [x, h].map(Deflection::to_bits);
    rest.map(Deflection::to_bits).is_some_and(|rest| (x > rest && h > x) || (x < rest && h < x))
}

fn judge_output<const N: usize>(
    step: &Step<'_, N>,
    axis: u8,
    way: &Way,
    nobody: bool,
    faded: u64,
    signals: &Signals<N>,
    judge: &mut Judge,
) {
    let index = usize::from(axis);
    let (rule, out, h) = (&step.policy.axes[index], step.outcome.output.axes()[index], last(step, axis));
    judge.hold(apart(out, Deflection::CENTRE) <= i32::from(step.policy.plausible.to_bits()), &["N1"], || {
        format!("axis {axis} within ±{}, not {out}", step.policy.plausible)
    });
    let (to, rules): (_, &'static [&'static str]) = if nobody {
        (rule.failsafe, &["I2"])
    } else if step.has.contains(axis) {
        (signals.students().axes()[index], &["L1", "H4"])
    } else if step.policy.shared.contains(axis) {
        (signals.instructors().axes()[index], &["T6", "H4"])
    } else {
        (signals.instructors().axes()[index], &["H5"])
    };
    if nobody {
        judge.hold(out == to, rules, || format!("axis {axis} at its failsafe {to}, not {out}"));
    } else if way.wait.is_some() {
        judge.hold(out == h, &["T6"], || format!("axis {axis} to wait at {h}, not {out}"));
    } else if let Some(from) = way.from {
        let expected = fade(from, to, faded, step.policy.fade);
        judge.hold(i64::from(out.to_bits()) == expected, &["H4"], || {
            format!("axis {axis} to fade from {from} to {to} and be at {expected} units, not {out}")
        });
    } else {
        judge.hold(out == to, rules, || format!("axis {axis} at {to}, not {out}"));
    }
}

/// H4: the output after this time of a fade, in units; the time is shorter than the fade.
fn fade(from: Deflection, to: Deflection, passed: u64, fade: Duration) -> i64 {
    let weight = i64::try_from((passed << 14) / u64::from(fade.as_ticks())).expect("at most 2^14");
    let [from, to] = [from, to].map(|x| i64::from(x.to_bits()));
    let sum = (from << 14) + (to - from) * weight;
    // Halves away from zero.
    sum.signum() * ((sum.abs() + (1 << 13)) >> 14)
}

/// What the axis output in the step before; its failsafe before the first.
fn last<const N: usize>(step: &Step<'_, N>, axis: u8) -> Deflection {
    let before = step.before.and_then(|before| before.output.get(axis));
    before.unwrap_or(step.policy.axes[usize::from(axis)].failsafe)
}
