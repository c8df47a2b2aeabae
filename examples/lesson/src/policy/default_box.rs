//! The default box as a file: the keys of the default policy that are not in an axis, and the tables of a box.

use super::DEFAULT;

/// Channels, trains, cues and axes, commented.
const BOX: &str = include_str!("box.toml");

const FIRST_LINE: &str = "\
# A whole trainer box: its takeover policy first, then pulse trains, cues, and the axes with their channels.
#
";

/// What the axes of the default policy begin with.
const AXES: &str = "# One table for each axis";

/// The default box with every key of a box, commented.
pub(crate) fn default_box() -> String {
    let policy = DEFAULT.split_once(AXES).map_or(DEFAULT, |(before, _)| before);
    format!("{FIRST_LINE}{policy}{BOX}")
}
