//! The state of a wait for a pickup (T6).

/// A wait until the instructor's stick picks up the output (T6). The output stays at the last one, h.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wait {
    /// On which side of h the stick was in the step in which the wait began.
    pub(super) began_on: Side,
    /// The smallest distance from the stick to h since then.
    pub(super) nearest: f64,
    pub(super) lasted: f64,
}

/// On which side of one value another one lies.
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
