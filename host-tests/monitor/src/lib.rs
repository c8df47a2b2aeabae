//! Judges every step of an engine by the rules of the contract (`core/CONTRACT.md`).
//!
//! A [`Monitor`] is given what the engine was given and what it made of it. It shares no code with the engine or the
//! float reference, only their public types, sets of axes among them: times are whole microseconds since the first
//! step, distances are integers. What a step claims (the held axes, who flies) is judged and then believed, so that one
//! fault is not found again in every step after it.
//!
//! It judges all rules that say what a step does.
//!
//! ```
//! use handback::{AxisRule, AxisSet, Engine, Frame, Inputs, Instant, Pilot, Policy};
//! use handback_monitor::Monitor;
//!
//! let policy = Policy::new([AxisRule::sprung()]).check()?;
//! let (mut engine, mut monitor) = (Engine::new(&policy), Monitor::new(&policy));
//! let (now, inputs) = (Instant::from_ticks(0), Inputs { instructor: Some(&Frame::CENTRE), ..Inputs::default() });
//! let mut outcome = engine.step(now, inputs);
//! assert!(monitor.clone().step(now, &inputs, &outcome).is_ok());
//! outcome.pilot = Pilot::Student(AxisSet::of(&[0]));
//! assert!(monitor.step(now, &inputs, &outcome).is_err_and(|broken| broken.names("S2")));
//! # Ok::<(), handback::PolicyError>(())
//! ```
#![forbid(unsafe_code)]

mod broken;
mod normal;
mod output;
mod share;
mod signals;
mod sticks;
mod switch;
mod takeover;
mod telling;

use handback::{AxisSet, CheckedPolicy, Deflection, Duration, Inputs, Instant, Outcome, Policy, Scope};

pub use broken::{Breach, Broken};

use broken::Judge;
use output::Transfers;
use share::Share;
use signals::Signals;
use sticks::Sticks;
use switch::Switch;
use takeover::Takeover;

/// Judges one step after another.
#[derive(Clone, Debug)]
pub struct Monitor<const N: usize> {
    policy: Policy<N>,
    /// Microseconds since the first step.
    now: u64,
    before: Option<Outcome<N>>,
    signals: Signals<N>,
    sticks: Sticks<N>,
    switch: Switch,
    takeover: Takeover,
    share: Share,
    transfers: Transfers<N>,
    /// A good instructor's frame came in an earlier step (S1).
    started: bool,
}

/// One step.
struct Step<'a, const N: usize> {
    policy: &'a Policy<N>,
    /// Microseconds since the first step, and since the step before.
    now: u64,
    dt: u64,
    inputs: &'a Inputs<'a, N>,
    outcome: &'a Outcome<N>,
    before: Option<&'a Outcome<N>>,
    /// The axes that the student had after the step before, and has now.
    had: AxisSet,
    has: AxisSet,
}

impl<const N: usize> Monitor<N> {
    /// Before the engine's first step.
    pub fn new(policy: &CheckedPolicy<N>) -> Self {
        let policy = *policy.policy();
        Self {
            policy,
            now: 0,
            before: None,
            signals: Signals::new(&policy),
            sticks: Sticks::new(&policy),
            switch: Switch::default(),
            takeover: Takeover::default(),
            share: Share::default(),
            transfers: Transfers::new(),
            started: false,
        }
    }

    /// Where the stick of this axis rests, if it has a rest; a held axis keeps the rest that it had.
    pub fn rest(&self, axis: u8) -> Option<Deflection> {
        self.sticks.rest(axis)
    }

    /// Judges the next step: when it was, what the engine was given, and its outcome.
    ///
    /// # Errors
    /// Every rule that the outcome breaks.
    pub fn step(&mut self, now: Instant, inputs: &Inputs<'_, N>, outcome: &Outcome<N>) -> Result<(), Broken> {
        let mut judge = Judge::default();
        judge.hold(outcome.at == now, &["K1"], || format!("the step's own instant {now:?}, not {:?}", outcome.at));
        let last = self.before.as_ref().map_or(now, |before| before.at);
        let dt = u64::from(now.as_ticks().wrapping_sub(last.as_ticks()));
        self.now += dt;
        let before = self.before.as_ref();
        let had = before.map_or(AxisSet::EMPTY, |before| before.pilot.student());
        let has = outcome.pilot.student();
        let step = &Step { policy: &self.policy, now: self.now, dt, inputs, outcome, before, had, has };

        let heard = self.signals.step(step, &mut judge);
        let touched = self.sticks.step(step, heard, &mut judge);
        let switch = self.switch.step(step, heard);
        let latched = self.takeover.step(step, switch, heard, touched.became_held, &self.sticks);
        let t4 = share::reasons(step, heard, switch, latched);
        let missing = self.share.step(step, &t4, touched, self.signals.students(), &mut judge);
        self.transfers.step(step, heard, !t4.is_empty(), touched, &self.signals, &self.sticks, &mut judge);
        telling::judge_event(step, heard, touched, latched, self.started, &mut judge);
        telling::judge_waiting(step, heard, switch, latched, missing, &mut judge);

        if !has.is_subset_of(had) {
            self.takeover.ends();
            self.sticks.rest_here(step);
        }
        self.started |= heard.came;
        self.before = Some(Outcome { at: now, ..*outcome });
        judge.verdict()
    }
}

impl<const N: usize> Step<'_, N> {
    /// Whether what began then has lasted for this long: a duration that grants.
    fn lasted(&self, since: Option<u64>, d: Duration) -> bool {
        since.is_some_and(|since| self.now - since >= u64::from(d.as_ticks()))
    }

    /// What is missing of this duration since then; all of it where it has not begun.
    fn left(&self, since: Option<u64>, d: Duration) -> Duration {
        let passed = since.map_or(0, |since| self.now - since);
        Duration::from_ticks(d.as_ticks().saturating_sub(u32::try_from(passed).unwrap_or(u32::MAX)))
    }

    /// Whether what was last seen then is older than this: a duration that loses.
    fn is_older(&self, seen: Option<u64>, d: Duration) -> bool {
        seen.is_none_or(|seen| self.now - seen > u64::from(d.as_ticks()))
    }

    /// Whether one of these held axes takes every axis (T5).
    fn takes_all(&self, held: AxisSet) -> bool {
        match self.policy.scope {
            Scope::Craft => !held.is_empty(),
            Scope::Axis => !held.is_subset_of(self.policy.shared),
        }
    }

    /// What these held axes take (T5).
    fn taken_by(&self, held: AxisSet) -> AxisSet {
        if self.takes_all(held) { AxisSet::first(N) } else { held }
    }
}

/// How far apart two deflections are, in units.
fn apart(a: handback::Deflection, b: handback::Deflection) -> i32 {
    (i32::from(a.to_bits()) - i32::from(b.to_bits())).abs()
}
