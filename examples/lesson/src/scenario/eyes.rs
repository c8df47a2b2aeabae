//! Seeing late: a pilot acts on the model as it was some tenths of a second ago.

/// Frames remembered, 1.28 s at 20 ms each.
const MEMORY: usize = 64;

/// The last views of a model; `V` is what can be seen of it.
#[derive(Clone, Debug)]
pub(super) struct Eyes<V> {
    views: [V; MEMORY],
    newest: usize,
    dt: f64,
}

impl<V: Copy> Eyes<V> {
    /// Eyes that have watched the model stay like this for some time.
    pub(super) fn new(view: V, dt: f64) -> Self {
        Self { views: [view; MEMORY], newest: 0, dt }
    }

    /// A new frame's view.
    pub(super) fn look(&mut self, view: V) {
        self.newest = (self.newest + 1) % MEMORY;
        self.views[self.newest] = view;
    }

    /// The view of so many seconds ago, as far back as the memory goes.
    pub(super) fn ago(&self, seconds: f64) -> V {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // saturates at both ends
        let frames = (seconds / self.dt).round() as usize;
        self.views[(self.newest + MEMORY - frames.min(MEMORY - 1)) % MEMORY]
    }
}
