//! A bar on standard error for runs that take a while; silent where that is not a terminal.

use indicatif::{ProgressBar, ProgressStyle};

/// How far a run has come.
pub(crate) struct Progress(ProgressBar);

impl Progress {
    /// A bar up to `total`, which is hidden for less than `long`: there it would only flash.
    pub(crate) fn new(total: u64, long: u64) -> Self {
        let bar = if total < long { ProgressBar::hidden() } else { ProgressBar::new(total) };
        if let Ok(style) = ProgressStyle::with_template("{bar:40} {percent:>3} %, {eta} to go") {
            bar.set_style(style);
        }
        Self(bar)
    }

    pub(crate) fn reached(&self, position: u64) {
        self.0.set_position(position);
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        self.0.finish_and_clear();
    }
}
