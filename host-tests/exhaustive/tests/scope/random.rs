//! Random policies and steps, with every value near a threshold and every duration of a few steps.

use handback::{AxisRule, AxisSet, Deflection, Duration, Frame, Inputs, Latches, Policy, Rest, Scope, Transfer};
use seeded::Random;

/// Any policy for `N` axes that passes its check.
pub(crate) fn policy<const N: usize>(random: &mut Random) -> Policy<N> {
    let mut policy = Policy::new([AxisRule::sprung(); N]);
    for rule in &mut policy.axes {
        *rule = self::rule(random);
    }
    policy.scope = random.one_of(&[Scope::Craft, Scope::Axis]);
    policy.watched = set::<N>(random);
    if policy.watched.is_empty() {
        policy.watched = AxisSet::first(1);
    }
    policy.shared = set::<N>(random);
    if policy.scope == Scope::Axis {
        policy.shared = policy.shared & policy.watched;
    }
    let mut time = |low, high| Duration::from_ticks(u32::try_from(random.time(low, high)).expect("short"));
    (policy.settle, policy.dwell, policy.fade) = (time(1, 3), time(0, 4), time(0, 6));
    (policy.pickup_max, policy.timeout, policy.requalify) = (time(0, 6), time(2, 8), time(0, 4));
    policy.failsafe_after = policy.timeout + time(0, 6);
    policy.late_step = time(5, 12);
    let (lasted, frozen) = (time(0, 8), time(4, 12));
    policy.latches.lasted = random.chance(0.2).then_some(lasted);
    policy.frozen_after = random.chance(0.2).then_some(frozen);
    policy.latches = Latches { beyond: random.chance(0.2).then_some(Deflection::from_bits(6)), ..policy.latches };
    policy.off_first_after_loss = random.chance(0.4);
    policy
}

fn rule(random: &mut Random) -> AxisRule {
    let mut bits = |low, high| Deflection::from_bits(i16::try_from(random.within(low, high)).expect("small"));
    let mut rule = AxisRule::sprung();
    (rule.engage, rule.release, rule.failsafe) = (bits(2, 4), bits(0, 1), bits(-9, 9));
    let (rest, window) = (bits(-3, 3), bits(0, 8));
    rule.confirm = random.one_of(&[1, 1, 2, 3]);
    let still = Duration::from_ticks(u32::try_from(random.time(0, 4)).expect("short"));
    rule.rest = if random.chance(0.3) { Rest::WhereLeft { still } } else { Rest::At(rest) };
    rule.transfer = random.one_of(&[Transfer::Snap, Transfer::Pickup]);
    rule.keep = random.chance(0.2);
    rule.window = random.chance(0.2).then_some(window);
    rule
}

fn set<const N: usize>(random: &mut Random) -> AxisSet {
    let all = AxisSet::first(N);
    if random.chance(0.5) {
        all
    } else {
        AxisSet::from_bits(u16::try_from(random.time(0, 0xFFFF)).expect("16 bits")) & all
    }
}

/// One step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Step<const N: usize> {
    pub(crate) dt: u32,
    pub(crate) instructor: Option<Frame<N>>,
    pub(crate) student: Option<Frame<N>>,
    pub(crate) switch: bool,
    pub(crate) now: bool,
}

impl<const N: usize> Step<N> {
    pub(crate) fn inputs(&self) -> Inputs<'_, N> {
        Inputs {
            instructor: self.instructor.as_ref(),
            student: self.student.as_ref(),
            lesson_switch: self.switch,
            instructor_now: self.now,
        }
    }
}

/// People who fly: their sticks rest most of the time, the switch stays where it is for some steps.
#[derive(Clone, Debug)]
pub(crate) struct People<const N: usize> {
    random: Random,
    instructor: [i16; N],
    student: [i16; N],
    switch: bool,
}

impl<const N: usize> People<N> {
    pub(crate) fn new(random: Random) -> Self {
        Self { random, instructor: [0; N], student: [0; N], switch: false }
    }

    /// The next step. In some of them a frame of one side is missing or bad on one of these axes.
    pub(crate) fn step(&mut self, policy: &Policy<N>, bad: AxisSet) -> Step<N> {
        let random = &mut self.random;
        for (x, rule) in self.instructor.iter_mut().zip(&policy.axes) {
            let rest = if let Rest::At(rest) = rule.rest { rest.to_bits() } else { *x };
            if random.one_in(4) {
                *x = rest;
            } else if random.one_in(8) {
                *x = i16::try_from(random.within(-9, 9)).expect("small");
            }
        }
        for s in &mut self.student {
            if random.one_in(6) {
                *s = i16::try_from(random.within(-9, 9)).expect("small");
            }
        }
        if random.one_in(16) {
            self.switch = !self.switch;
        }
        let dt = random.one_of(&[0, 1, 1, 1, 1, 1, 1, 2, 3]);
        let late = random.one_in(60).then(|| policy.late_step.as_ticks() + 1);
        let mut sides = [self.instructor, self.student].map(Some);
        for side in &mut sides {
            if random.one_in(12) {
                *side = None;
            } else if let (Some(frame), Some(axis), true) = (side, bad.lowest(), random.one_in(40)) {
                frame[usize::from(axis)] = i16::MAX;
            }
        }
        let [instructor, student] = sides.map(|side| side.map(|bits| Frame::new(bits.map(Deflection::from_bits))));
        let now = random.one_in(80);
        Step { dt: late.unwrap_or(dt), instructor, student, switch: self.switch, now }
    }
}
