//! The decisions of a box against those of this computer, by the check values that the box wrote beside its rows.

use handback::Outcome;
use outcome_digest::{Crc32, OutcomeBytes};

use crate::count::{counted, thousands};
use crate::timeline::clock;
use crate::trace::{Recorder, Said};

/// What is told of a lesson besides its report.
#[derive(Debug, Default)]
pub(crate) struct Told {
    pub(crate) lines: Vec<String>,
    /// Why this may not be what happened in the lesson; for an instructor, without commands.
    pub(crate) doubts: Vec<String>,
    /// That it is what happened, or that nothing can tell; where there is no doubt.
    pub(crate) checked: Option<String>,
    /// When it is first known not to be what happened; such a lesson is unsound.
    pub(crate) differs_us: Option<u64>,
}

/// Compares step by step.
#[derive(Debug, Default)]
pub(crate) struct Compared {
    recorder: Recorder,
    check: Crc32,
    /// Whether the rows since the recording began are complete and were decided alike.
    is_blind: bool,
    /// Number of steps with an equal check value.
    same: u64,
    /// Number of steps with a check value that could not be compared, since rows before them are missing.
    blind: u64,
    missing: u64,
    /// Where rows are missing first.
    missing_line: Option<u64>,
    /// Line and time of the first step that was decided otherwise.
    differs: Option<(u64, u64)>,
    /// The time of the last step with an equal check value.
    same_us: u64,
    /// The same, where no check value is of the steps after it.
    open_us: Option<u64>,
    /// The first such time of a recording that has ended.
    left_open_us: Option<u64>,
}

impl Compared {
    /// Nothing yet, of the decisions of this recorder.
    pub(crate) fn with(recorder: Recorder) -> Self {
        Self { recorder, ..Self::default() }
    }

    /// Takes in a step of this time.
    pub(crate) fn step<const N: usize>(&mut self, said: &Said, time_us: u64, outcome: &Outcome<N>) {
        if said.begins {
            (self.check, self.is_blind) = (Crc32::new(), false);
            self.left_open_us = self.left_open_us.or(self.open_us.take());
        }
        if said.missing > 0 {
            self.missing = self.missing.saturating_add(said.missing);
            self.missing_line = self.missing_line.or(Some(said.line));
            // A recording that begins here misses none of its rows.
            self.is_blind |= !said.begins;
        }
        OutcomeBytes::of(outcome).digest(&mut self.check);
        let Some(check) = said.check else {
            self.open_us = self.open_us.or(Some(self.same_us));
            return;
        };
        if self.differs.is_some() {
            return;
        }
        if self.is_blind {
            self.blind += 1;
        } else if check == self.check.value() {
            self.same += 1;
            // A check value is of all steps before it, too.
            (self.same_us, self.open_us) = (time_us, None);
        } else {
            self.differs = Some((said.line, time_us));
        }
    }

    /// What is told of it; nothing of a trace without check values.
    pub(crate) fn told(&self) -> Told {
        let (mut lines, mut doubts) = (Vec::new(), Vec::new());
        let (who, remedy) = match self.recorder {
            Recorder::Box => {
                ("box", "Another policy than that of the box? `lesson box read` fetches it: give it as --policy")
            }
            Recorder::Page => {
                ("page", "Another policy than that of the lesson? Give the one that was saved with it as --policy")
            }
        };
        let same = format!("this replay took the same {} as the {who}", counted(self.same, "decision"));
        match self.differs {
            Some((line, time_us)) => {
                lines.push(format!(
                    "Check: {same}; then the {who} decided otherwise in line {line}, at {}",
                    clock(time_us)
                ));
                lines.push(format!("       {remedy}"));
                doubts.push(format!(
                    "From {} on, this is not what happened in the lesson: give the policy of that lesson together with this \
                     recording. If this is under its policy, the recording was changed after the lesson.",
                    clock(time_us)
                ));
            }
            None if self.same > 0 => lines.push(format!("Check: {same}")),
            None => {}
        }
        if let Some(line) = self.missing_line {
            let missing = counted(self.missing, "row");
            doubts.push(format!(
                "The box had no room for {missing}: what is shown after the gap may not be as in the lesson."
            ));
            lines.push(format!(
                "       Before line {line} and after, {missing} are missing: the box had no room for them"
            ));
            if self.blind > 0 {
                let blind = thousands(self.blind);
                lines.push(format!(
                    "       {blind} decisions after them cannot be compared; those shown may not be the box's"
                ));
            }
        }
        let checked = doubts.is_empty().then(|| self.checked());
        Told { lines, doubts, checked, differs_us: self.differs.map(|(_, time_us)| time_us) }
    }

    /// What is known of a lesson without a doubt.
    fn checked(&self) -> String {
        const NOTHING: &str = "This recording has nothing to check against: with other settings than the lesson's, this may not \
                               be what happened.";
        match self.left_open_us.or(self.open_us) {
            _ if self.same == 0 => NOTHING.to_owned(),
            Some(open_us) => format!(
                "Checked up to {}: until then, this is what happened in the lesson. What comes after can't all be checked.",
                clock(open_us)
            ),
            None => "Checked from beginning to end: this is what happened in the lesson.".to_owned(),
        }
    }
}
