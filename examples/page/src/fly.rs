//! The requests of a lesson under a person's hands, and their answers.

mod asked;
#[cfg(test)]
mod tests;

use lesson::live::{self, Axis, Costs, FRAME_US, Form, Live, State};
use serde::Serialize;

pub use asked::{Begin, Craft, Nothing, Reaction, Set, Step, Student};

/// The lesson that is flown, if one is.
#[derive(Default)]
pub struct Fly {
    live: Option<Live>,
}

/// The answer to [`Begin`].
#[derive(Debug, Serialize)]
pub struct Begun {
    axes: Vec<Axis>,
    frame_us: u32,
    policy: String,
}

/// The answer to `settings`.
#[derive(Debug, Serialize)]
pub struct Settings {
    settings: Vec<Setting>,
}

/// One value of the policy.
#[derive(Debug, Serialize)]
pub struct Setting {
    key: &'static str,
    axis: Option<String>,
    /// `time` (milliseconds), `points`, `count`, `flag` or `choice`.
    kind: &'static str,
    /// Empty: none.
    value: String,
    /// Whether the value may be empty.
    optional: bool,
    choices: Vec<&'static str>,
}

/// The answer to [`Set`].
#[derive(Debug, Serialize)]
pub struct Changed {
    policy: String,
}

/// The answer to `save`.
#[derive(Debug, Serialize)]
pub struct Saved {
    trace: String,
    policy: String,
    steps: u64,
    /// The check value of the last row, 8 hexadecimal digits.
    digest: String,
}

impl Fly {
    /// Begins a lesson; the one before is gone.
    ///
    /// # Errors
    /// If the policy is refused. The lesson before goes on.
    pub fn begin(&mut self, begin: Begin) -> Result<Begun, String> {
        let live = Live::begin(&begin.plan()).map_err(text)?;
        let begun = Begun { axes: live.axes(), frame_us: FRAME_US, policy: live.policy() };
        self.live = Some(live);
        Ok(begun)
    }

    /// One frame later.
    ///
    /// # Errors
    /// If no lesson is flown, or the sticks do not fit the craft.
    pub fn step(&mut self, step: Step) -> Result<State, String> {
        self.live()?.step(&step.input()).map_err(text)
    }

    /// Every value of the policy.
    ///
    /// # Errors
    /// If no lesson is flown.
    pub fn settings(&mut self) -> Result<Settings, String> {
        let settings = self.live()?.settings().into_iter().map(Setting::from).collect();
        Ok(Settings { settings })
    }

    /// Changes one value of the policy; a new engine and a new recording begin.
    ///
    /// # Errors
    /// If no lesson is flown, or the value is refused.
    pub fn set(&mut self, set: &Set) -> Result<Changed, String> {
        let live = self.live()?;
        live.set(&set.key, set.axis.as_deref(), &set.value).map_err(text)?;
        Ok(Changed { policy: live.policy() })
    }

    /// The recording since it began.
    ///
    /// # Errors
    /// If no lesson is flown, or it has no step yet.
    pub fn save(&mut self) -> Result<Saved, String> {
        let live::Saved { trace, policy, steps, check } = self.live()?.save().map_err(text)?;
        Ok(Saved { trace, policy, steps, digest: format!("{check:08x}") })
    }

    /// What a reaction costs this craft under this policy.
    ///
    /// # Errors
    /// If no lesson is flown, or the time is out of range.
    pub fn cost(&mut self, reaction: &Reaction) -> Result<Costs, String> {
        self.live()?.costs(reaction.reaction_ms).map_err(text)
    }

    fn live(&mut self) -> Result<&mut Live, String> {
        self.live.as_mut().ok_or_else(|| r#"no lesson is flown; ask for {"fly":{...}} first"#.to_owned())
    }
}

impl From<live::Setting> for Setting {
    fn from(setting: live::Setting) -> Self {
        let live::Setting { key, axis, form, value, optional, choices } = setting;
        let kind = match form {
            Form::Time => "time",
            Form::Points => "points",
            Form::Count => "count",
            Form::Flag => "flag",
            Form::Choice => "choice",
        };
        Self { key, axis, kind, value, optional, choices }
    }
}

fn text(why: lesson::Fault) -> String {
    why.to_string()
}
