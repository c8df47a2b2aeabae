//! The state of a wait for a pickup (T6).

/// A wait for the instructor's stick to pick the output up (T6); the output itself is the last one, h.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wait {
    /// On which side of h the stick was in the step in which the wait began.
    pub(super) began_on: Side,
    /// The smallest distance from the stick to h since then.
    pub(super) nearest: f64,
    pub(super) lasted: f64,
}

/// Where one value is, seen from another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Below,
    Same,
    Above,
}

impl Side {
    pub(super) fn of(x: f64, seen_from: f64) -> Self {
        if x < seen_from {
            Self::Below
        } else if x > seen_from {
            Self::Above
        } else {
            Self::Same
        }
    }
}
