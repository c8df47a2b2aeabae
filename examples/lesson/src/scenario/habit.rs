//! What beginners have in common: they notice late that they fly, overcontrol, and make mistakes.

use seeded::Random;

/// When a beginner makes a mistake.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Habit {
    /// Mistakes of every kind at random, which end by themselves.
    ByChance,
    /// Flies steadily. 4 to 10 s after each hand-back, one unmistakable mistake begins and lasts until the craft is taken.
    Drill,
}

impl Habit {
    /// Seconds from the moment the beginner notices the hand-back to the first mistake.
    pub(super) fn first_slip_in(self, rng: &mut Random) -> f64 {
        match self {
            Self::ByChance => rng.between(4.0, 14.0),
            // To notice takes 0.3 to 0.7 s more.
            Self::Drill => rng.between(4.0, 9.2),
        }
    }

    /// How strongly the beginner answers what is seen; 1 is right.
    pub(super) fn zeal(self, rng: &mut Random) -> f64 {
        match self {
            Self::ByChance => rng.between(0.8, 1.7),
            Self::Drill => 0.8,
        }
    }
}

/// Who the beginner believes is flying: the truth, some tenths of a second late.
#[derive(Clone, Copy, Debug)]
pub(super) struct Told {
    pub(super) flying: bool,
    notice_in: f64,
}

impl Told {
    pub(super) const NOT_FLYING: Self = Self { flying: false, notice_in: 0.5 };

    /// 'I have' and 'you have' take a moment to sink in. Gives what the beginner notices in this frame, if anything.
    pub(super) fn listen(&mut self, flies: bool, rng: &mut Random, dt: f64) -> Option<bool> {
        if flies == self.flying {
            self.notice_in = rng.between(0.3, 0.7);
            return None;
        }
        self.notice_in -= dt;
        if self.notice_in > 0.0 {
            return None;
        }
        self.flying = flies;
        Some(flies)
    }
}
