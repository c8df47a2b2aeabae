//! What a lesson came to, counted while it flies: in bounded memory, whatever its length, without allocating per row.
//!
//! The tally believes the outcome as little as it can: changes of who flies are taken from what the steps say who
//! flies, and the latency from the output itself wherever that follows at once.

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
use crate::timeline::Timeline;

/// Everything that is counted over one lesson.
#[derive(Clone, Debug)]
pub(crate) struct Tally<const N: usize> {
    title: String,
    names: Vec<String>,
    policy: Policy<N>,
    before: Option<Pilot>,
    /// The instructor's first good frame has come.
    begun: bool,
    /// Who flew when.
    pub(crate) turns: Turns,
    /// Takeovers by cause and by axis, and the false ones.
    pub(crate) takeovers: Takeovers,
    /// Changes of who flies that were soon undone.
    pub(crate) flickers: Flickers,
    /// From the instructor's movement to the craft.
    pub(crate) latency: Latency<N>,
    /// Outputs that wait for the instructor's stick.
    pub(crate) pickups: Pickups<N>,
    /// Where the sticks rest.
    pub(crate) resting: Resting,
    /// Height lost from mistake to recovery.
    pub(crate) rescues: Rescues,
    /// What came from either side, and what was lost.
    pub(crate) signals: Signals,
    /// Whether the float reference agreed.
    pub(crate) agreement: Agreement,
    /// The changes of who flies, the first and the last.
    pub(crate) timeline: Timeline,
    /// Sticks, output and height over the whole lesson.
    pub(crate) curves: Curves<N>,
    /// The rows around one takeover.
    pub(crate) close_up: CloseUp<N>,
}

impl<const N: usize> Tally<N> {
    /// An empty tally for these axes under this policy; an axis without a name is called by its number.
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

    /// Counts one step: what it was given, what the engine made of it, what the simulation knows, and whether the float
    /// reference made something else of it.
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
        self.timeline.observe(row.time_us, outcome, truth);
        self.curves.observe(&seen, self.latency.rests());
        self.close_up.observe(&seen, self.latency.rests());
    }

    /// Names the lesson, for the head of its picture.
    pub(crate) fn set_title(&mut self, title: impl Into<String>) {
        self.title = title.into();
    }

    /// What the lesson is called.
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

    /// The lengths of everything that could grow with the lesson.
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
