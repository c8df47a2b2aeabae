//! What the words of a step need of the steps before it.

use handback::{AxisSet, Deflection, Duration, Frame, Link, Outcome, Pilot, Policy, Reception, Rest, Waiting};

use super::beside::points;
use crate::row::Row;

/// The part of a new distance that counts in the smoothed one: half a second at 50 frames a second.
const SMOOTH: f64 = 0.04;
/// A stick that has been held this long, this near to its threshold, is no hand's. Own choices, no source.
const LONG_US: u64 = 1_000_000;
const NEAR: f64 = 1.25;

/// What the steps so far did, up to the present one.
pub(super) struct Memory<const N: usize> {
    last: Option<Outcome<N>>,
    switch: bool,
    crashed: bool,
    /// Who flew when a new engine began, until that engine's first step was told.
    pub(super) replaced: Option<Pilot>,
    /// What keeps the craft, while a latch is waited for.
    pub(super) latched: Option<Latched>,
    /// Since when each axis waits to be picked up, in microseconds.
    pickup_since: [Option<u64>; N],
    /// Since when each stick has been held, in microseconds, and how far one with a fixed rest is from it, in points,
    /// smoothed.
    off: [Option<(u64, f64)>; N],
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
            crashed: false,
            replaced: None,
            latched: None,
            pickup_since: [None; N],
            off: [None; N],
            still: None,
            happened: Happened::default(),
        }
    }

    /// A new engine goes on: nothing of the old one ends by that.
    pub(super) fn change_engine(&mut self) {
        let pilot = self.last.take().map(|last| last.pilot);
        (self.replaced, self.latched, self.pickup_since) = (pilot.or(self.replaced), None, [None; N]);
    }

    /// After a step.
    pub(super) fn step(&mut self, row: &Row<N>, outcome: &Outcome<N>, crashed: bool, policy: &Policy<N>) {
        self.happened = Happened {
            switch: (row.lesson_switch != self.switch).then_some(row.lesson_switch),
            crashed: crashed && !self.crashed,
            ..Happened::default()
        };
        (self.switch, self.crashed) = (row.lesson_switch, crashed);
        if self.last.is_some() {
            self.replaced = None;
        }
        self.latch(row, outcome, policy);
        self.signals(outcome);
        self.pick_up(row, outcome, policy);
        self.sticks(row, outcome, policy);
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
        let before = self.last.map_or(AxisSet::EMPTY, |last| last.held);
        let keeps = |axis: &u8| policy.axes.get(usize::from(*axis)).is_some_and(|rule| rule.keep);
        let latched = match outcome.held.except(before).iter().find(keeps) {
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
                _ if outcome.pickup.contains(axis) => *since = Some(since.unwrap_or(row.time_us)),
                Some(began) => {
                    *since = None;
                    let cut = row.instructor_now || outcome.instructor_lost || outcome.late_step;
                    if cut || outcome.pilot.student().contains(axis) {
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
        for ((axis, off), rule) in (0_u8..).zip(&mut self.off).zip(&policy.axes) {
            *off = match (rule.rest, outcome.stick.get(axis)) {
                (Rest::At(rest), Some(stick)) if outcome.held.contains(axis) => {
                    let now = (points(stick) - points(rest)).abs();
                    let (since, before) = off.unwrap_or((row.time_us, now));
                    Some((since, before + SMOOTH * (now - before)))
                }
                _ => None,
            };
        }
    }

    /// How far this stick is from its rest, in points, if it hardly leaves its threshold and yet is not let go: no hand
    /// holds a stick like that.
    pub(super) fn rests_at(&self, axis: u8, engage: Deflection, time_us: u64) -> Option<f64> {
        let (since, off) = (*self.off.get(usize::from(axis))?)?;
        (time_us - since >= LONG_US && off <= NEAR * points(engage)).then_some(off)
    }

    /// For how long the student's values have been the same, in microseconds.
    pub(super) fn still_us(&self, time_us: u64) -> u64 {
        self.still.map_or(0, |(_, since)| time_us - since)
    }

    /// How long the axes wait at most until they go to the instructor's stick without being picked up.
    pub(super) fn pickup_left_us(&self, time_us: u64, pickup_max: Duration) -> Option<u64> {
        let until = |since: u64| (since + u64::from(pickup_max.as_ticks())).saturating_sub(time_us);
        self.pickup_since.iter().flatten().map(|since| until(*since)).max()
    }
}

/// Whether the student link is lost although good frames come (L4).
pub(super) fn is_frozen<const N: usize>(outcome: &Outcome<N>) -> Frozen {
    outcome.student == Reception::Good && outcome.link == Link::Lost
}
