//! What happened in a search: a rule that was never reached was not checked.

use handback::{Cause, Outcome, Pilot, Waiting};

/// How many transitions had each cause, waited for each thing, and so on.
#[derive(Clone, Debug, Default)]
pub struct Reached {
    causes: [u64; Cause::KINDS],
    waiting: [u64; WAITING.len()],
    /// In the order of `OTHERS`.
    others: [u64; OTHERS.len()],
}

const CAUSES: [&str; Cause::KINDS] = [
    "late step",
    "instructor lost",
    "instructor back",
    "instructor now",
    "bad frame",
    "switch off",
    "link lost",
    "link frozen",
    "stick",
    "latch",
    "handed back",
];
const WAITING: [&str; 9] = [
    "instructor's signal",
    "switch",
    "switch off first",
    "settling",
    "latch",
    "student link",
    "held axis",
    "dwell",
    "gate",
];
const OTHERS: [&str; 5] = ["nobody flies", "instructor flies", "student flies", "some axes only", "an axis waits"];

impl Reached {
    /// Counts a transition.
    pub fn note<const N: usize>(&mut self, outcome: &Outcome<N>) {
        if let Some(event) = outcome.event {
            self.causes[event.cause.kind()] += 1;
        }
        if let Some(waiting) = outcome.waiting {
            self.waiting[kind(waiting)] += 1;
        }
        let some = outcome.waiting.is_some() && !outcome.pilot.student().is_empty();
        let pilot = match outcome.pilot {
            Pilot::Nobody => 0,
            Pilot::Instructor => 1,
            Pilot::Student(_) => 2,
        };
        self.others[pilot] += 1;
        self.others[3] += u64::from(some);
        self.others[4] += u64::from(!outcome.pickup.is_empty());
    }

    /// Adds the counts of another search.
    pub fn add(&mut self, other: &Self) {
        let ours = self.causes.iter_mut().chain(&mut self.waiting).chain(&mut self.others);
        let theirs = other.causes.iter().chain(&other.waiting).chain(&other.others);
        for (ours, theirs) in ours.zip(theirs) {
            *ours += theirs;
        }
    }

    /// Each name with its count.
    pub fn counts(&self) -> impl Iterator<Item = (&'static str, &'static str, u64)> {
        let causes = CAUSES.iter().zip(&self.causes).map(|(name, count)| ("cause", *name, *count));
        let waiting = WAITING.iter().zip(&self.waiting).map(|(name, count)| ("waits for", *name, *count));
        let others = OTHERS.iter().zip(&self.others).map(|(name, count)| ("state", *name, *count));
        causes.chain(waiting).chain(others)
    }
}

const fn kind(waiting: Waiting) -> usize {
    match waiting {
        Waiting::InstructorSignal => 0,
        Waiting::Switch => 1,
        Waiting::SwitchOffFirst => 2,
        Waiting::Settling { .. } => 3,
        Waiting::Latch => 4,
        Waiting::StudentLink { .. } => 5,
        Waiting::Held(_) => 6,
        Waiting::Dwell { .. } => 7,
        Waiting::Gate(_) => 8,
    }
}
