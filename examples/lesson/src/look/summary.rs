//! What a look found, in the few sentences that an instructor needs; the report has the evidence.

use handback::Duration;

use crate::compared::Told;
use crate::count::counted;
use crate::policy::PolicyFile;
use crate::tally::{CAUSES, Misplaced, Tally};
use crate::timeline::clock;
use crate::trace::Points;
use crate::tune::Tuning;
use crate::tune::doubt::BRIEF_S;
use crate::tune::help::help;
use crate::tune::study::{Study, in_points};
use crate::tune::words::{lasted, rate};

/// A stick that nobody touched, and the thresholds that suit it.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Stick {
    pub name: String,
    /// `None` where no thresholds hold the target, or none are needed.
    pub thresholds: Option<Thresholds>,
    /// What is wrong with it, and what helps.
    pub help: Option<String>,
}

/// The thresholds of a stick, as a policy has them.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Thresholds {
    /// Points.
    pub engage: f64,
    /// Points.
    pub release: f64,
    /// Frames in a row.
    pub confirm: u8,
    /// By how much `confirm` delays a takeover.
    pub later_ms: f64,
    /// How often its noise is expected to take the craft; `None` where no rate can be claimed.
    pub false_takeovers: Option<String>,
}

/// What is wrong with the recording, who flew for how long, and how often the instructor took over.
pub(super) fn of_lesson<const N: usize>(tally: &Tally<N>, told: &Told) -> Vec<String> {
    let (turns, takeovers) = (&tally.turns, &tally.takeovers);
    // The doubts first: they may make the figures meaningless.
    let mut said = told.doubts.clone();
    said.push(format!(
        "The student flew {} of {} ({} %).",
        clock(turns.student_us),
        clock(turns.lasted_us()),
        turns.student_percent()
    ));
    let causes = |counts: &[u64]| {
        let some = CAUSES.iter().zip(counts).filter(|(_, count)| **count > 0);
        some.map(|(cause, count)| format!("{count} by {cause}")).collect::<Vec<_>>().join(", ")
    };
    said.push(match takeovers.count {
        0 => "No takeover.".to_owned(),
        count => format!("{}: {}.", counted(count, "takeover"), causes(&takeovers.by_cause)),
    });
    let untaken = takeovers.untaken.iter().sum();
    if untaken > 0 {
        let times = counted(untaken, "time");
        said.push(format!("The student lost the craft {times} without a takeover: {}.", causes(&takeovers.untaken)));
    }
    // Where this is not the policy of the lesson, that one may have the rests.
    let misplaced = tally.resting.misplaced().filter(|_| told.differs_us.is_none());
    said.extend(misplaced.map(|Misplaced { axis, rests_at, policy }| {
        let (name, rests_at) = (&tally.names()[axis], in_points(rests_at));
        let policy = Points(policy);
        format!(
            "The instructor's {name} stick rests at {rests_at:.1} points, and the policy expects {policy}: it may take the \
             craft or keep it. Set rest_points of {name} to {rests_at:.1}."
        )
    }));
    said.extend(told.checked.clone());
    if tally.latency.unanswered > 0 {
        let count = counted(tally.latency.unanswered, "movement");
        said.push(format!("The craft never followed {count} of the instructor's sticks."));
    }
    if !tally.agreement.is_sound() {
        said.push("The engine and its float reference disagree: do not fly with this build.".to_owned());
    }
    said
}

/// Sticks at rest: what holds for all of them.
pub(super) fn of_rest(tuning: &Tuning, is_tuned: bool, dwell: Duration) -> Vec<String> {
    let mut said = vec![format!("Sticks at rest for {} min:s.", lasted(tuning.lasted_s))];
    if tuning.lasted_s < BRIEF_S {
        said.push(
            "Less than two minutes do not show slow wander or rare jumps: use these thresholds only for a trial on the \
             bench."
                .to_owned(),
        );
    }
    let ms = dwell.as_ticks() / 1000;
    said.push(if is_tuned {
        format!(
            "The policy below has these thresholds. Its other values, such as dwell_ms = {ms}, were not measured here."
        )
    } else {
        "No policy yet: a stick has no thresholds, and its row says what helps.".to_owned()
    });
    said
}

/// Stick by stick.
pub(super) fn sticks(tuning: &Tuning) -> Vec<Stick> {
    let stick = |study: &Study| {
        let thresholds = study.thresholds().map(|thresholds| {
            let (engage, confirm) = (in_points(thresholds.engage), thresholds.confirm);
            let expected = || {
                let rates = study.per_hour(engage, confirm);
                format!("{}{}", rate(rates.expected), rates.doubt())
            };
            let false_takeovers = thresholds.doubt.is_none().then(expected);
            let later_ms = f64::from(confirm - 1) * tuning.pace.frame_s * 1000.0;
            Thresholds { engage, release: in_points(thresholds.release), confirm, later_ms, false_takeovers }
        });
        let doubt = || study.thresholds()?.doubt.map(|doubt| doubt.to_string());
        let unwatched = || "it does not take the craft, so it needs no thresholds".to_owned();
        let help = if study.is_watched() { help(study, tuning).or_else(doubt) } else { Some(unwatched()) };
        Stick { name: study.name.clone(), thresholds, help }
    };
    tuning.axes.iter().map(stick).collect()
}

/// A policy that was checked.
pub(super) fn of_policy(file: &PolicyFile) -> Vec<String> {
    let names = file.names();
    vec![format!("Nothing is wrong with it. {}: {}.", counted(names.len() as u64, "stick"), names.join(", "))]
}
