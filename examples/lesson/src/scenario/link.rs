//! The way of one side's frames to the box: single frames are missed, and now and then the signal is gone for a while.

use seeded::Random;

/// How good the way is.
#[derive(Clone, Copy, Debug)]
pub(super) struct Quality {
    /// The share of single frames that are missed.
    missed: f64,
    /// Seconds from the start to the first gap, from and to.
    first_gap_s: (f64, f64),
    /// Seconds from one gap to the next.
    next_gap_s: (f64, f64),
    /// How long a gap is, in seconds.
    gap_s: (f64, f64),
    /// The share of gaps that are short enough to be bridged by the last good frame.
    bridged: f64,
}

impl Quality {
    /// The student's link: radio, or a cable that somebody steps on.
    pub(super) const STUDENT: Self =
        Self { missed: 0.015, first_gap_s: (45.0, 75.0), next_gap_s: (50.0, 110.0), gap_s: (0.3, 2.5), bridged: 0.25 };

    /// The instructor's own sticks: nearly always there, gone for a moment once in some minutes.
    pub(super) const INSTRUCTOR: Self = Self {
        missed: 0.002,
        first_gap_s: (100.0, 400.0),
        next_gap_s: (200.0, 500.0),
        gap_s: (0.25, 0.6),
        bridged: 0.2,
    };
}

/// One side's way to the box.
#[derive(Clone, Debug)]
pub(super) struct Link {
    quality: Quality,
    gap_in: f64,
    gap_for: f64,
    dt: f64,
    rng: Random,
}

impl Link {
    pub(super) fn new(quality: Quality, mut rng: Random, dt: f64) -> Self {
        let gap_in = rng.between(quality.first_gap_s.0, quality.first_gap_s.1);
        Self { quality, gap_in, gap_for: 0.0, dt, rng }
    }

    /// Whether this step's frame comes through. A gap that is due waits while it is `spared`.
    pub(super) fn carries(&mut self, spared: bool) -> bool {
        self.gap_in -= self.dt;
        if self.gap_in <= 0.0 && !spared {
            let Quality { next_gap_s, gap_s, bridged, .. } = self.quality;
            self.gap_in = self.rng.between(next_gap_s.0, next_gap_s.1);
            let (least, most) = if self.rng.chance(bridged) { (0.04, 0.12) } else { gap_s };
            self.gap_for = self.rng.between(least, most);
        }
        self.gap_for -= self.dt;
        self.gap_for <= 0.0 && !self.rng.chance(self.quality.missed)
    }
}
