//! What the words of a step need of the steps before it.

use handback::{AxisRule, AxisSet, Duration, Frame, Link, Outcome, Pilot, Policy, Reception, Rest, Waiting};

use super::beside::points;
use super::rattle::{Rattle, Stays};
use crate::row::Row;
use crate::timeline::keeping;

/// A stick that was never this far from an output that waits for it, in points, is not told of. Own choice, no source.
const SEEN: f64 = 3.0;

/// What the steps so far did, up to the present one.
pub(super) struct Memory<const N: usize> {
    last: Option<Outcome<N>>,
    /// Where the lesson switch is, and the button.
    pub(super) switch: bool,
    button: bool,
    /// The axes that were held before the present step.
    pub(super) held_before: AxisSet,
    crashed: bool,
    /// Who flew when a new engine began, until that engine's first step was told.
    pub(super) replaced: Option<Pilot>,
    /// What keeps the craft, while a latch is waited for.
    pub(super) latched: Option<Latched>,
    /// Since when each axis waits to be picked up, in microseconds, and whether its stick was seen apart from the output.
    pickup_since: [Option<(u64, bool)>; N],
    rattle: [Option<Rattle>; N],
    /// When the instructor's last good frame came, in microseconds.
    signal: u64,
    /// The shared values of the student, and since when they have been these.
    still: Option<(Frame<N>, u64)>,
    /// What happened in the present step.
    pub(super) happened: Happened,
}

/// What set the latch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Latched {
    /// The button *instructor now*.
    Button,
    /// The `keep` of this axis.
    Stick(u8),
    /// `lasted` or `beyond`.
    Length,
}

/// What happened in a step besides a change of who flies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Happened {
    /// The lesson switch was turned to this.
    pub(super) switch: Option<bool>,
    /// The takeover was latched.
    pub(super) latched: Option<Latched>,
    /// The student link was lost, by frozen values or without frames.
    pub(super) link_lost: Option<Frozen>,
    /// The instructor's signal was lost, or came back.
    pub(super) signal_lost: Option<bool>,
    /// The button was pressed without the instructor's signal.
    pub(super) button_in_vain: bool,
    /// The lesson switch must be turned off and on, which it had not to be before.
    pub(super) off_first: bool,
    /// Axes whose stick picked them up.
    pub(super) picked_up: AxisSet,
    /// Axes that were not picked up in time.
    pub(super) not_picked_up: AxisSet,
    pub(super) crashed: bool,
}

/// Whether frames come whose values stand still.
pub(super) type Frozen = bool;

impl<const N: usize> Memory<N> {
    pub(super) fn new() -> Self {
        Self {
            last: None,
            switch: false,
            button: false,
            held_before: AxisSet::EMPTY,
            crashed: false,
            replaced: None,
            latched: None,
            pickup_since: [None; N],
            rattle: [None; N],
            signal: 0,
            still: None,
            happened: Happened::default(),
        }
    }

    /// A new engine goes on: nothing of the old one ends by that.
    pub(super) fn change_engine(&mut self) {
        let pilot = self.last.take().map(|last| last.pilot);
        (self.replaced, self.latched, self.pickup_since) = (pilot.or(self.replaced), None, [None; N]);
        // A stick may rest elsewhere now.
        self.rattle = [None; N];
    }

    /// After a step.
    pub(super) fn step(&mut self, row: &Row<N>, outcome: &Outcome<N>, crashed: bool, policy: &Policy<N>) {
        self.happened = Happened {
            switch: (row.lesson_switch != self.switch).then_some(row.lesson_switch),
            button_in_vain: row.instructor_now && !self.button && self.is_without_signal(),
            crashed: crashed && !self.crashed,
            ..Happened::default()
        };
        (self.switch, self.button, self.crashed) = (row.lesson_switch, row.instructor_now, crashed);
        self.held_before = self.last.map_or(AxisSet::EMPTY, |last| last.held);
        if self.last.is_some() {
            self.replaced = None;
        }
        self.latch(row, outcome, policy);
        self.signals(outcome);
        let asks = |outcome: &Outcome<N>| outcome.waiting == Some(Waiting::SwitchOffFirst);
        self.happened.off_first = asks(outcome) && !self.last.is_some_and(|last| asks(&last));
        self.pick_up(row, outcome, policy);
        self.sticks(row, outcome, policy);
        if outcome.instructor == Reception::Good {
            self.signal = row.time_us;
        }
        if let Some(frame) = row.student {
            let same = |before: &Frame<N>| policy.shared.iter().all(|axis| before.get(axis) == frame.get(axis));
            if !self.still.is_some_and(|(before, _)| same(&before)) {
                self.still = Some((frame, row.time_us));
            }
        }
        self.last = Some(*outcome);
    }

    fn latch(&mut self, row: &Row<N>, outcome: &Outcome<N>, policy: &Policy<N>) {
        if outcome.waiting != Some(Waiting::Latch) {
            self.latched = None;
            return;
        }
        let now_held = outcome.held.except(self.held_before);
        let latched = match keeping(policy).iter().find(|axis| now_held.contains(*axis)) {
            _ if row.instructor_now => Latched::Button,
            Some(axis) => Latched::Stick(axis),
            None => Latched::Length,
        };
        if self.latched.is_none() {
            self.happened.latched = Some(latched);
        }
        if self.latched.is_none() || latched == Latched::Button {
            self.latched = Some(latched);
        }
    }

    fn signals(&mut self, outcome: &Outcome<N>) {
        let Some(last) = self.last else { return };
        if outcome.instructor_lost != last.instructor_lost {
            self.happened.signal_lost = Some(outcome.instructor_lost);
        }
        if last.link == Link::Good && outcome.link == Link::Lost {
            self.happened.link_lost = Some(is_frozen(outcome));
        }
    }

    fn pick_up(&mut self, row: &Row<N>, outcome: &Outcome<N>, policy: &Policy<N>) {
        for (axis, since) in (0_u8..).zip(&mut self.pickup_since) {
            match *since {
                _ if outcome.pickup.contains(axis) => {
                    let at = |frame: &Frame<N>| frame.get(axis).map_or(0.0, points);
                    let apart = (at(&outcome.stick) - at(&outcome.output)).abs() >= SEEN;
                    let (began, seen) = since.unwrap_or((row.time_us, false));
                    *since = Some((began, seen || apart));
                }
                Some((began, seen)) => {
                    *since = None;
                    let cut = row.instructor_now || outcome.instructor_lost || outcome.late_step;
                    if cut || !seen || outcome.pilot.student().contains(axis) {
                        continue;
                    }
                    let timed_out = row.time_us - began >= u64::from(policy.pickup_max.as_ticks());
                    let ended = if timed_out { &mut self.happened.not_picked_up } else { &mut self.happened.picked_up };
                    *ended = ended.with(axis);
                }
                None => {}
            }
        }
    }

    fn sticks(&mut self, row: &Row<N>, outcome: &Outcome<N>, policy: &Policy<N>) {
        for ((axis, rattle), rule) in (0_u8..).zip(&mut self.rattle).zip(&policy.axes) {
            *rattle = match (rule.rest, outcome.stick.get(axis)) {
                (Rest::At(rest), Some(stick)) => {
                    let (off, held) = (points(stick) - points(rest), outcome.held.contains(axis));
                    Rattle::next(*rattle, row.time_us, off, held, rule.engage)
                }
                _ => None,
            };
        }
    }

    /// Where this stick stays, if no hand holds it there.
    pub(super) fn stays(&self, axis: u8, rule: &AxisRule, time_us: u64) -> Option<Stays> {
        (*self.rattle.get(usize::from(axis))?)?.stays(time_us, rule)
    }

    /// How long it takes until nobody flies (I2), in microseconds, if no good frame of the instructor comes.
    pub(super) fn nobody_left_us(&self, time_us: u64, failsafe_after: Duration) -> u64 {
        (self.signal + u64::from(failsafe_after.as_ticks())).saturating_sub(time_us)
    }

    /// The axes that are seen to wait to be picked up.
    pub(super) fn picks_up(&self) -> AxisSet {
        let seen = (0_u8..).zip(&self.pickup_since).filter(|(_, since)| since.is_some_and(|(_, seen)| seen));
        seen.fold(AxisSet::EMPTY, |all, (axis, _)| all.with(axis))
    }

    fn is_without_signal(&self) -> bool {
        self.last.is_some_and(|last| last.instructor_lost)
    }

    /// For how long the student's values have been the same, in microseconds.
    pub(super) fn still_us(&self, time_us: u64) -> u64 {
        self.still.map_or(0, |(_, since)| time_us - since)
    }

    /// How long these axes wait at most until they go to the instructor's stick without being picked up.
    pub(super) fn pickup_left_us(&self, time_us: u64, pickup_max: Duration) -> Option<u64> {
        let until = |since: u64| (since + u64::from(pickup_max.as_ticks())).saturating_sub(time_us);
        let seen = self.pickup_since.iter().flatten().filter(|(_, seen)| *seen);
        seen.map(|(since, _)| until(*since)).max()
    }
}

/// Whether the student link is lost although good frames come (L4).
pub(super) fn is_frozen<const N: usize>(outcome: &Outcome<N>) -> Frozen {
    outcome.student == Reception::Good && outcome.link == Link::Lost
}
