//! Seeing late: a pilot acts on the model as it was some tenths of a second ago.

use super::airplane::View;

/// Frames remembered, 1.28 s at 20 ms each.
const MEMORY: usize = 64;

/// The last views of the model.
#[derive(Clone, Debug)]
pub(super) struct Eyes {
    views: [View; MEMORY],
    newest: usize,
    dt: f64,
}

impl Eyes {
    /// Eyes that have watched the model stay like this for some time.
    pub(super) fn new(view: View, dt: f64) -> Self {
        Self { views: [view; MEMORY], newest: 0, dt }
    }

    /// A new frame's view.
    pub(super) fn look(&mut self, view: View) {
        self.newest = (self.newest + 1) % MEMORY;
        self.views[self.newest] = view;
    }

    /// The view of so many seconds ago, as far back as the memory goes.
    pub(super) fn ago(&self, seconds: f64) -> View {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates at both ends
        let frames = (seconds / self.dt).round() as usize;
        self.views[(self.newest + MEMORY - frames.min(MEMORY - 1)) % MEMORY]
    }
}
