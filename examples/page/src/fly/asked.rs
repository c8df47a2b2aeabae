//! What a page asks for.

use lesson::live::{self, Input, Link, Plan};
use serde::Deserialize;

/// Begins a lesson.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Begin {
    craft: Craft,
    seed: u64,
    student: Student,
    policy: Option<String>,
}

/// What is flown.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Craft {
    /// Four axes.
    Aeroplane,
    /// Four axes.
    Helicopter,
    /// The aeroplane with sixteen axes.
    Many,
}

/// Who sits at the student's sticks.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Student {
    /// Simulated, with mistakes of every kind.
    Beginner,
    /// The sticks come with every step.
    Person,
    /// Simulated, steady, with one unmistakable mistake in each turn.
    Drill,
}

/// One frame of a person's sticks and switches.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Points for each axis; `null`: the signal is lost.
    instructor: Option<Vec<f64>>,
    /// The same where a person is the student.
    student: Option<Vec<f64>>,
    switch: bool,
    #[serde(default)]
    button: bool,
    /// Deviation in points.
    #[serde(default)]
    noise: f64,
    /// The student's link is cut.
    #[serde(default)]
    cut: bool,
    /// The student's receiver repeats its last frame: the link looks alive.
    #[serde(default)]
    frozen: bool,
}

/// Changes one value of the policy.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Set {
    pub(super) key: String,
    pub(super) axis: Option<String>,
    pub(super) value: String,
}

/// Asks what a reaction costs.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Reaction {
    pub(super) reaction_ms: f64,
}

/// A request without details.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Nothing {}

impl Begin {
    pub(super) fn plan(self) -> Plan {
        let craft = match self.craft {
            Craft::Aeroplane => live::Craft::Aeroplane,
            Craft::Helicopter => live::Craft::Helicopter,
            Craft::Many => live::Craft::Many,
        };
        let student = match self.student {
            Student::Beginner => live::Student::Beginner,
            Student::Person => live::Student::Person,
            Student::Drill => live::Student::Drill,
        };
        Plan { craft, seed: self.seed, student, policy: self.policy }
    }
}

impl Step {
    pub(super) fn input(self) -> Input {
        let Self { instructor, student, switch, button, noise, cut, frozen } = self;
        let link = match (cut, frozen) {
            (_, true) => Link::Frozen,
            (true, false) => Link::Cut,
            (false, false) => Link::Good,
        };
        Input { instructor, student, switch, button, noise, link }
    }
}
