//! Names of axes, as traces and policies carry them.

/// The most axes that a frame has.
pub(crate) const MOST_AXES: usize = 16;
/// The longest name, in characters.
pub(crate) const LONGEST_NAME: usize = 32;

/// Whether an axis may be called this: it must fit a cell of a table and a label of a picture.
pub(crate) fn is_name(name: &str) -> bool {
    (1..=LONGEST_NAME).contains(&name.chars().count())
        && name.trim() == name
        && !name.chars().any(|c| c.is_control() || c == ',')
}
