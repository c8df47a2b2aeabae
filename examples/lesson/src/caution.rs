//! The words of caution, where a user is about to act on what this tool says.

/// Before anything here goes into the air.
pub(crate) const CAUTION: [&str; 2] = [
    "CAUTION: a lesson on paper is no promise. Before a real one: set and test the receiver's failsafe",
    "first, range check, propellers off on the bench, instructor present; local and club rules first.",
];
