//! What a step broke: rules by their ids, and what was expected.

use std::error::Error;
use std::fmt;

/// Something that a step does otherwise than the contract says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Breach {
    /// The ids of the rules, as in `core/CONTRACT.md`.
    pub rules: &'static [&'static str],
    /// What was expected, and what was seen instead.
    pub expected: String,
}

/// All that one step broke, in the order of the contract: at least one breach.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken(Vec<Breach>);

impl Broken {
    /// Each breach.
    pub fn breaches(&self) -> &[Breach] {
        &self.0
    }

    /// Whether this rule is among those that were broken.
    pub fn names(&self, rule: &str) -> bool {
        self.0.iter().any(|breach| breach.rules.contains(&rule))
    }
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "({}) expected {}", self.rules.join(", "), self.expected)
    }
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let breaches: Vec<String> = self.0.iter().map(Breach::to_string).collect();
        f.write_str(&breaches.join("; "))
    }
}

impl Error for Broken {}

/// Collects the breaches of one step.
#[derive(Debug, Default)]
pub(crate) struct Judge(Vec<Breach>);

impl Judge {
    /// These rules are broken unless this holds.
    pub(crate) fn hold(&mut self, holds: bool, rules: &'static [&'static str], expected: impl FnOnce() -> String) {
        if !holds {
            self.0.push(Breach { rules, expected: expected() });
        }
    }

    pub(crate) fn verdict(self) -> Result<(), Broken> {
        if self.0.is_empty() { Ok(()) } else { Err(Broken(self.0)) }
    }
}
