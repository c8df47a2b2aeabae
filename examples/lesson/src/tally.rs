//! Counts the results of a lesson while it flies. Memory is bounded for any length of lesson, and no row allocates.
//!
//! The tally relies on as few fields of the outcome as possible. It finds a change of pilot by comparing the pilots of
//! two steps. It takes the latency from the output itself wherever the output follows the stick at once.

mod agreement;
mod close_up;
mod curves;
mod distribution;
mod flickers;
mod latency;
mod losses;
mod pickups;
mod rescues;
mod resting;
#[cfg(test)]
mod sample;
mod seen;
mod signals;
mod takeovers;
mod turns;

use handback::{AxisSet, CheckedPolicy, Outcome, Pilot, Policy, Reception};

pub(crate) use agreement::{Agreement, Differs, Wrong};
pub(crate) use close_up::{CloseUp, Cut, Shot};
pub(crate) use curves::{Bucket, Curves, Span};
pub(crate) use distribution::Distribution;
pub(crate) use flickers::{FLICKER_US, Flickers};
pub(crate) use latency::Latency;
pub(crate) use pickups::{ENDS, LONGEST_MS, Pickups};
pub(crate) use rescues::Rescues;
pub(crate) use resting::{Misplaced, Resting};
#[cfg(test)]
pub(crate) use sample::Lesson;
use seen::Seen;
pub(crate) use signals::Signals;
pub(crate) use takeovers::{CAUSES, Takeovers};
pub(crate) use turns::Turns;

use crate::row::{Row, Truth};
use crate::timeline::{Timeline, keeping};

/// All counters of one lesson.
#[derive(Clone, Debug)]
pub(crate) struct Tally<const N: usize> {
    title: String,
    names: Vec<String>,
    policy: Policy<N>,
    before: Option<Pilot>,
    /// Whether the instructor's first good frame has come.
    begun: bool,
    /// The time that each pilot flew.
    pub(crate) turns: Turns,
    /// Takeovers by cause and by axis, and the false ones.
    pub(crate) takeovers: Takeovers,
    /// Changes of pilot that were soon reversed.
    pub(crate) flickers: Flickers,
    /// The time from the instructor's movement until the instructor has the craft.
    pub(crate) latency: Latency<N>,
    /// Outputs that wait for the instructor's stick.
    pub(crate) pickups: Pickups<N>,
    /// The places where the sticks rest.
    pub(crate) resting: Resting,
    /// Height lost from mistake to recovery.
    pub(crate) rescues: Rescues,
    /// The frames of both sides, and the losses.
    pub(crate) signals: Signals,
    /// Whether engine and float reference agree.
    pub(crate) agreement: Agreement,
    /// The first and the last changes of pilot.
    pub(crate) timeline: Timeline,
    /// Sticks, output and height over the whole lesson.
    pub(crate) curves: Curves<N>,
    /// The rows around one takeover.
    pub(crate) close_up: CloseUp<N>,
}

impl<const N: usize> Tally<N> {
    /// An empty tally for these axes under this policy. An axis without a name is named by its number.
    pub(crate) fn new(mut names: Vec<String>, policy: &CheckedPolicy<N>) -> Self {
        names.truncate(N);
        names.extend((names.len()..N).map(|axis| format!("axis {axis}")));
        let policy = *policy.policy();
        Self {
            title: "Who flew".to_owned(),
            names,
            policy,
            before: None,
            begun: false,
            turns: Turns::default(),
            takeovers: Takeovers::default(),
            flickers: Flickers::default(),
            latency: Latency::new(&policy),
            pickups: Pickups::new(&policy),
            resting: Resting::new(&policy),
            rescues: Rescues::default(),
            signals: Signals::new(&policy),
            agreement: Agreement::default(),
            timeline: Timeline::default(),
            curves: Curves::new(&policy),
            close_up: CloseUp::default(),
        }
    }

    /// Counts one step: its input, the outcome of the engine, the truth of the simulation, and how the float reference
    /// differs.
    pub(crate) fn observe(&mut self, row: &Row<N>, outcome: &Outcome<N>, truth: Option<&Truth>, differs: Differs) {
        let at_start = outcome.event.map_or(outcome.pilot, |event| event.from);
        let before = self.before.replace(outcome.pilot).unwrap_or(at_start);
        let starting = !self.begun;
        self.begun |= outcome.instructor == Reception::Good;
        let seen = Seen { row, outcome, truth, before, starting };
        self.turns.observe(&seen);
        self.takeovers.observe(&seen);
        self.flickers.observe(&seen);
        self.latency.observe(&seen);
        self.pickups.observe(&seen);
        self.resting.observe(&seen);
        self.rescues.observe(&seen);
        self.signals.observe(&seen);
        self.agreement.observe(&seen, differs);
        self.timeline.observe(row.time_us, outcome, truth, keeping(&self.policy));
        self.curves.observe(&seen, self.latency.rests());
        self.close_up.observe(&seen, self.latency.rests());
    }

    /// Sets the title of the picture.
    pub(crate) fn set_title(&mut self, title: impl Into<String>) {
        self.title = title.into();
    }

    /// The title of the picture.
    pub(crate) fn title(&self) -> &str {
        &self.title
    }

    /// The names of the axes, axis 0 first, exactly `N`.
    pub(crate) fn names(&self) -> &[String] {
        &self.names
    }

    /// The policy of the lesson.
    pub(crate) fn policy(&self) -> &Policy<N> {
        &self.policy
    }

    /// The axes that the student may fly.
    pub(crate) fn shared(&self) -> AxisSet {
        self.policy.shared
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use handback::Cause;

    /// The sizes of all growing collections.
    fn kept(tally: &Tally<3>) -> [usize; 5] {
        let timeline = tally.timeline.first().len() + tally.timeline.last().len();
        let distributions = [&tally.latency.frames, &tally.pickups.lasted_ms].map(Distribution::capacity);
        [timeline, tally.curves.capacity(), tally.close_up.capacity(), distributions[0], distributions[1]]
    }

    #[test]
    fn two_million_rows_keep_no_more_than_half_a_million() {
        let mut lesson = Lesson::new();
        let fly = |lesson: &mut Lesson, turns: std::ops::Range<u64>| {
            for start in turns.map(|turn| turn * 8000) {
                lesson.hand_back_at(start).fly(start + 20, start + 3980);
                lesson.stick(0, 9).take_over_at(start + 4000, Cause::Stick(0)).stick(0, 0);
                lesson.fly(start + 4020, start + 7980);
            }
        };
        fly(&mut lesson, 0..1250);
        let early = kept(&lesson.tally);
        fly(&mut lesson, 1250..5000);
        assert_eq!(lesson.tally.turns.steps, 2_000_000);
        assert_eq!(lesson.tally.takeovers.count, 5000);
        assert_eq!(kept(&lesson.tally), early);
    }
}
