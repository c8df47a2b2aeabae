//! What must follow within a bounded number of steps, from whatever state. Each promise is tried in every state by
//! steps of 1 us; the monitor judges these steps too.

use handback::{AxisSet, CheckedPolicy, Deflection, Frame, Link, Outcome, Pilot, Policy, Rest, Scope as Taking};
use handback::{Transfer, Waiting};

use crate::node::{Input, Node};

/// The most steps that anything promised took, over all states.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Bounds {
    /// All in order: until the student had the craft.
    pub in_order: u32,
    /// Switch off and on again: until the student had the craft.
    pub way_back: u32,
    /// The instructor's sticks stay: until every output was its stick.
    pub arrived: u32,
}

impl Bounds {
    /// The larger of both in each place.
    pub fn widen(&mut self, other: &Self) {
        let both = [
            (&mut self.in_order, other.in_order),
            (&mut self.way_back, other.way_back),
            (&mut self.arrived, other.arrived),
        ];
        for (ours, theirs) in both {
            *ours = theirs.max(*ours);
        }
    }
}

/// A promise that was broken.
pub(crate) struct Broken {
    pub(crate) check: &'static str,
    pub(crate) why: String,
}

/// The names of the promises, in the order in which they are tried.
pub const NAMES: [&str; 7] = [STICK, LINK, SILENCE, LATCH, ARRIVES, IN_ORDER, WAY_BACK];
const STICK: &str = "a watched stick past engage for `confirm` frames: in that very step it has what it takes";
const LINK: &str = "no student's frame for longer than `timeout`: the student has nothing, the link is lost";
const SILENCE: &str =
    "no instructor's frame: past `timeout` the student has nothing, past `failsafe_after` nobody flies";
const LATCH: &str = "instructor now: the student has nothing until the switch has been off";
const ARRIVES: &str = "sticks that stay are output within pickup_max + fade";
const IN_ORDER: &str =
    "all in order: the student has it within settle, requalify or still, and dwell; else the switch is named";
const WAY_BACK: &str = "from everywhere the switch, off and on, leads back to a lesson within the same times";

/// The trial of every promise in one state.
pub(crate) struct Trial<'a, 'p, const N: usize> {
    policy: &'a Policy<N>,
    checked: &'a CheckedPolicy<N>,
    start: &'a Node<'p, N>,
    node: Node<'p, N>,
    inputs: Vec<Input<N>>,
    steps: u64,
    bounds: &'a mut Bounds,
}

type Kept = Result<(), Broken>;

impl<'a, 'p, const N: usize> Trial<'a, 'p, N> {
    pub(crate) fn new(checked: &'a CheckedPolicy<N>, start: &'a Node<'p, N>, bounds: &'a mut Bounds) -> Self {
        let policy = checked.policy();
        Self { policy, checked, start, node: start.clone(), inputs: Vec::new(), steps: 0, bounds }
    }

    /// The inputs of the promise that was tried last.
    pub(crate) fn inputs(&self) -> Vec<Input<N>> {
        self.inputs.clone()
    }

    pub(crate) const fn steps(&self) -> u64 {
        self.steps
    }

    pub(crate) fn all(&mut self) -> Kept {
        self.sticks_take()?;
        self.link_is_lost()?;
        self.instructor_is_lost()?;
        self.now_latches()?;
        self.output_arrives()?;
        self.in_order()?;
        self.way_back()
    }

    fn begin(&mut self) {
        self.node = self.start.clone();
        self.inputs.clear();
    }

    fn take(&mut self, input: Input<N>) -> Result<Outcome<N>, Broken> {
        self.inputs.push(input);
        self.steps += 1;
        let (outcome, verdict) = self.node.step(&input);
        match verdict {
            Ok(()) => Ok(outcome),
            Err(broken) => Err(Broken { check: "every rule", why: broken.to_string() }),
        }
    }

    /// A step of 1 us with every hand off, and both frames.
    fn hands_off(&mut self, switch: bool) -> Result<Outcome<N>, Broken> {
        let sticks = self.node.hands_off();
        let students = self.near(&sticks);
        self.take(Input { dt: 1, instructor: Some(sticks), student: Some(students), switch, now: false })
    }

    /// A student's frame within any gate of these sticks, and not the same as the last one (L4).
    fn near(&self, sticks: &Frame<N>) -> Frame<N> {
        let at = |by: i16| Frame::new(sticks.axes().map(|x| Deflection::from_bits(x.to_bits() + by)));
        let last = self.node.students();
        if (0..N).any(|axis| at(1).axes()[axis] == last.axes()[axis]) { at(-1) } else { at(1) }
    }

    fn sticks_take(&mut self) -> Kept {
        for axis in self.policy.watched.iter() {
            for (out, dt, student) in [(100, 1, true), (-100, 1, false), (-100, 0, true), (100, 0, false)] {
                self.begin();
                let mut sticks = self.node.hands_off();
                let students = student.then(|| self.near(&sticks));
                sticks.axes_mut()[usize::from(axis)] = Deflection::from_bits(out);
                let input = Input { dt, instructor: Some(sticks), student: students, switch: true, now: false };
                let rule = &self.policy.axes[usize::from(axis)];
                let mut last = self.take(input)?;
                for _ in 1..rule.confirm {
                    last = self.take(input)?;
                }
                let alone = self.policy.scope == Taking::Axis && self.policy.shared.contains(axis);
                let takes = if alone { AxisSet::of(&[axis]) } else { AxisSet::ALL };
                let snaps = rule.transfer == Transfer::Snap && last.output.get(axis) != sticks.get(axis);
                if last.pilot.student().meets(takes) || last.pilot == Pilot::Nobody || snaps {
                    return broken(STICK, format!("axis {axis}: {:?}, output {:?}", last.pilot, last.output));
                }
            }
        }
        Ok(())
    }

    fn link_is_lost(&mut self) -> Kept {
        self.begin();
        for passed in 1..=self.policy.timeout.as_ticks() + 2 {
            let instructor = Some(self.node.hands_off());
            let outcome = self.take(Input { dt: 1, instructor, student: None, switch: true, now: false })?;
            let lost = outcome.pilot.student().is_empty() && outcome.link == Link::Lost;
            if passed > self.policy.timeout.as_ticks() && !lost {
                return broken(LINK, format!("after {passed} us: {:?}, link {:?}", outcome.pilot, outcome.link));
            }
        }
        Ok(())
    }

    fn instructor_is_lost(&mut self) -> Kept {
        self.begin();
        for passed in 1..=self.policy.failsafe_after.as_ticks() + 2 {
            let student = Some(self.near(&Frame::CENTRE));
            let outcome = self.take(Input { dt: 1, instructor: None, student, switch: true, now: false })?;
            let lost = outcome.pilot.student().is_empty() && outcome.instructor_lost;
            let safe = outcome.pilot == Pilot::Nobody && outcome.output == self.checked.failsafe_frame();
            let as_promised = (passed <= self.policy.timeout.as_ticks() || lost)
                && (passed <= self.policy.failsafe_after.as_ticks() || safe);
            if !as_promised {
                return broken(SILENCE, format!("after {passed} us: {:?}, output {:?}", outcome.pilot, outcome.output));
            }
        }
        Ok(())
    }

    fn now_latches(&mut self) -> Kept {
        self.begin();
        let sticks = self.node.hands_off();
        let student = Some(self.near(&sticks));
        self.take(Input { dt: 1, instructor: Some(sticks), student, switch: true, now: true })?;
        for _ in 0..=self.in_order_within() {
            let outcome = self.hands_off(true)?;
            if !outcome.pilot.student().is_empty() {
                return broken(LATCH, format!("{:?}", outcome.pilot));
            }
        }
        Ok(())
    }

    fn output_arrives(&mut self) -> Kept {
        self.begin();
        let within = self.policy.pickup_max.as_ticks() + 1 + self.policy.fade.as_ticks();
        for passed in 1..=within {
            let sticks = self.node.sticks();
            let students = self.near(&sticks);
            let input = Input { dt: 1, instructor: Some(sticks), student: Some(students), switch: false, now: false };
            if self.take(input)?.output == sticks {
                self.bounds.arrived = self.bounds.arrived.max(passed);
                return Ok(());
            }
        }
        broken(ARRIVES, format!("not within {within} us"))
    }

    /// All in order from now on: the longest until the student has it, in steps of 1 us. One step sees everything in
    /// order; a second is needed for what changes the link's frame or frees a stick.
    fn in_order_within(&self) -> u32 {
        let policy = self.policy;
        let still = policy.axes.iter().map(|rule| match rule.rest {
            Rest::WhereLeft { still } => still.as_ticks(),
            Rest::At(_) => 0,
        });
        let waits = [1 + policy.settle.as_ticks(), 2 + policy.requalify.as_ticks(), 2 + still.max().unwrap_or(0)];
        waits.into_iter().max().unwrap_or(0) + policy.dwell.as_ticks()
    }

    fn in_order(&mut self) -> Kept {
        if self.policy.shared.is_empty() {
            return Ok(());
        }
        self.begin();
        let within = self.in_order_within();
        // The switch is named at once or never; but a latch stands behind the settling (A2), and a takeover may last.
        let (mut names_switch, mut may_name) = (false, true);
        for passed in 1..=within {
            let outcome = self.hands_off(true)?;
            let waits = matches!(outcome.waiting, Some(Waiting::SwitchOffFirst | Waiting::Latch));
            if names_switch && (!waits || !outcome.pilot.student().is_empty()) || (waits && !may_name) {
                return broken(IN_ORDER, format!("after {passed} us: {:?}, {:?}", outcome.pilot, outcome.waiting));
            }
            names_switch = waits;
            let settles = matches!(outcome.waiting, Some(Waiting::Settling { .. }));
            may_name = waits || settles || self.policy.latches.lasted.is_some();
            if outcome.pilot.student() == self.policy.shared {
                self.bounds.in_order = self.bounds.in_order.max(passed);
                return self.output_is_the_students();
            }
        }
        if names_switch { Ok(()) } else { broken(IN_ORDER, format!("not within {within} us")) }
    }

    /// After the fade, the student's sticks are output.
    fn output_is_the_students(&mut self) -> Kept {
        let mut outcome = self.hands_off(true)?;
        for _ in 0..self.policy.fade.as_ticks() {
            outcome = self.hands_off(true)?;
        }
        let students = self.node.students();
        let all = self.policy.shared.iter().all(|axis| outcome.output.get(axis) == students.get(axis));
        if all && outcome.pilot.student() == self.policy.shared {
            return Ok(());
        }
        broken(
            IN_ORDER,
            format!("{:?} outputs {:?}, the student's sticks are {students:?}", outcome.pilot, outcome.output),
        )
    }

    fn way_back(&mut self) -> Kept {
        if self.policy.shared.is_empty() {
            return Ok(());
        }
        self.begin();
        let off = self.policy.settle.as_ticks() + 1;
        let within = off + self.in_order_within();
        for passed in 1..=within {
            let outcome = self.hands_off(passed > off)?;
            if outcome.pilot.student() == self.policy.shared {
                self.bounds.way_back = self.bounds.way_back.max(passed);
                return Ok(());
            }
        }
        broken(WAY_BACK, format!("not within {within} us"))
    }
}

fn broken(check: &'static str, why: String) -> Kept {
    Err(Broken { check, why })
}
