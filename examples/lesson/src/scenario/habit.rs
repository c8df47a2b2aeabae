//! What beginners have in common: they notice late that they fly, overcontrol, and make mistakes.

use seeded::Random;

/// When a beginner makes a mistake.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Habit {
    /// Mistakes of every kind at random, which end by themselves.
    ByChance,
    /// Flies straight and steadily. 4 to 10 s after each hand-back, and not before the craft is steady, one unmistakable
    /// mistake begins and lasts until the craft is taken.
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

/// The mistakes of a beginner: the one being made, or the time to the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slips<S> {
    /// The one being made, and for how many seconds more.
    now: Option<(S, f64)>,
    /// The one that the hands have begun to make.
    acting: Option<S>,
    next_in: f64,
}

impl<S: Copy> Slips<S> {
    /// None yet; the first comes after so many seconds.
    pub(super) fn first_in(s: f64) -> Self {
        Self { now: None, acting: None, next_in: s }
    }

    /// The next does not begin in this frame.
    pub(super) fn put_off(&mut self, dt: f64) {
        self.next_in = self.next_in.max(2.0 * dt);
    }

    /// One frame later. They begin at random and end by themselves, if the instructor lets them. Whether one is to begin.
    pub(super) fn is_due(&mut self, rng: &mut Random, dt: f64) -> bool {
        if let Some((_, left_s)) = &mut self.now {
            *left_s -= dt;
            if *left_s <= 0.0 {
                self.now = None;
            }
            return false;
        }
        self.next_in -= dt;
        if self.next_in > 0.0 {
            return false;
        }
        self.next_in = rng.between(6.0, 16.0);
        true
    }

    /// Begins one, for so many seconds.
    pub(super) fn begin(&mut self, slip: S, lasts_s: f64) {
        self.now = Some((slip, lasts_s));
    }

    /// The craft was taken or given: what was being made is over.
    pub(super) fn end(&mut self) {
        self.now = None;
    }

    /// The next comes after so many seconds.
    pub(super) fn next_in(&mut self, s: f64) {
        self.next_in = s;
    }

    /// The one that the hands make from now on.
    pub(super) fn act(&mut self) -> Option<S> {
        self.acting = self.now.map(|(slip, _)| slip);
        self.acting
    }

    /// The one that the hands are making.
    pub(super) fn acting(&self) -> Option<S> {
        self.acting.filter(|_| self.now.is_some())
    }
}
