//! Thresholds from recordings, from what was read to what is written.

use std::fmt::Display;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use handback::CheckedPolicy;

use super::frozen::Frozen;
use super::options::Options;
use super::pace::Pace;
use super::recording::Recording;
use super::report::Report;
use super::tuned::Tuned;
use super::{LEAST_FRAMES, Tuning, check_centres, check_springs, check_travel, study, sweep_of, with_box};
use crate::error::Fault;
use crate::policy::{BoxPlan, PolicyFile, checked, default_policy};

/// Recordings that can be studied, with the policy to start from.
pub(crate) struct Session<'a, const N: usize> {
    recording: &'a Recording,
    file: Option<PolicyFile>,
    base: CheckedPolicy<N>,
    around: Option<BoxPlan<N>>,
    options: Options,
    pace: Pace,
    sweep: Option<(Recording, Pace)>,
    frozen: Option<Frozen>,
}

/// What the recordings say.
pub(crate) struct Studied<'a, const N: usize> {
    recording: &'a Recording,
    base: CheckedPolicy<N>,
    around: Option<BoxPlan<N>>,
    is_swept: bool,
    frozen: Option<Frozen>,
    pub(crate) tuning: Tuning,
    tuned: Option<(Tuned<N>, CheckedPolicy<N>)>,
}

impl<'a, const N: usize> Session<'a, N> {
    /// A recording at rest with the policy or the box of `file`, or with the default policy.
    pub(crate) fn new(recording: &'a Recording, file: Option<PolicyFile>, options: &Options) -> Result<Self, Fault> {
        check_travel(options, recording)?;
        check_centres(options, recording)?;
        let file = file.map(|file| file.arranged(&recording.path, &recording.names)).transpose()?;
        let (base, around) = match &file {
            Some(file) => (file.check::<N>()?, file.plan::<N>()?),
            None => (checked(default_policy(&recording.names), &recording.path)?, None),
        };
        let options = around.as_ref().map_or_else(|| options.clone(), |plan| with_box(options, recording, plan));
        let pace = Pace::of(recording, LEAST_FRAMES)?;
        Ok(Self { recording, file, base, around, options, pace, sweep: None, frozen: None })
    }

    /// The policy or the box that was given.
    pub(crate) fn file(&self) -> Option<&PolicyFile> {
        self.file.as_ref()
    }

    /// The same with a recording of sweeps.
    pub(crate) fn with_sweep(mut self, sweep: Recording) -> Result<Self, Fault> {
        self.sweep = Some(sweep_of(sweep, self.recording, &self.pace)?);
        Ok(self)
    }

    /// The same with the student's frames.
    pub(crate) fn with_student(self, frozen: Frozen) -> Self {
        Self { frozen: Some(frozen), ..self }
    }

    pub(crate) fn study(self) -> Result<Studied<'a, N>, Fault> {
        let Self { recording, file, base, around, options, pace, sweep, frozen } = self;
        let tuning = study(&options, recording, pace, sweep.as_ref(), base.policy());
        if file.is_none() {
            check_springs(recording, &tuning)?;
        }
        let tuned = match Tuned::of(base.policy(), &tuning) {
            Some(mut tuned) => {
                let limit = frozen.and_then(|frozen| frozen.recommended());
                tuned.policy.frozen_after = limit.or(tuned.policy.frozen_after);
                let policy = checked(tuned.policy, &recording.path)?;
                Some((tuned, policy))
            }
            None => None,
        };
        Ok(Studied { recording, base, around, is_swept: sweep.is_some(), frozen, tuning, tuned })
    }
}

impl<const N: usize> Studied<'_, N> {
    /// The dwell of the policy that was started from.
    pub(crate) fn dwell(&self) -> handback::Duration {
        self.base.policy().dwell
    }

    /// The tuned policy as a file; `None` where an axis has no thresholds.
    pub(crate) fn toml(&self) -> Option<impl Display + '_> {
        let (_, policy) = self.tuned.as_ref()?;
        Some(Tuned::toml(policy.policy(), &self.recording.names, self.around.as_ref(), &self.tuning))
    }

    /// Prints the report, with the places of the files that were written; `policy` is where the policy would be.
    pub(crate) fn report(&self, out: &mut impl Write, places: &[PathBuf], policy: &Path) -> io::Result<()> {
        let tuned = self.tuned.as_ref().map(|(tuned, _)| tuned);
        let (base, swept, frozen) = (self.base.policy(), self.is_swept, self.frozen);
        Report { tuning: &self.tuning, policy: base, tuned, swept, frozen }.print(out, places, policy)
    }
}
