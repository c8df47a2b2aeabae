//! The findings so far, each fault once.

use super::finding::Finding;

/// The most findings that are kept; those after it are counted.
pub(super) const MOST: usize = 48;

/// The findings in the order in which they were made.
#[derive(Clone, Debug)]
pub(super) struct List {
    kept: heapless::Vec<Finding, MOST>,
    /// The number of findings that found no room.
    untold: u16,
}

impl List {
    pub(super) const fn new() -> Self {
        Self { kept: heapless::Vec::new(), untold: 0 }
    }

    /// Adds a finding, unless it is known.
    pub(super) fn note(&mut self, finding: Finding) {
        if !self.kept.iter().any(|known| known.is_again(&finding)) && self.kept.push(finding).is_err() {
            self.untold = self.untold.saturating_add(1);
        }
    }

    pub(super) fn all(&self) -> &[Finding] {
        &self.kept
    }

    pub(super) const fn untold(&self) -> u16 {
        self.untold
    }
}
