//! Names of axes, as traces and policies carry them.

/// The most axes that a frame has.
pub(crate) const MOST_AXES: usize = 16;
/// The longest name, in characters.
pub(crate) const LONGEST_NAME: usize = 32;

/// Whether an axis may be called this: it must fit a cell of a table and a label of a picture.
pub(crate) fn is_name(name: &str) -> bool {
    (1..=LONGEST_NAME).contains(&name.chars().count()) && name.trim() == name && name.chars().all(is_printable)
}

/// A comma would end the cell; what cannot be seen, or turns the text around, would mislead whoever reads it.
fn is_printable(c: char) -> bool {
    c != ',' && (matches!(c, '"' | '\'' | '\\') || c.escape_debug().len() == 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_what_can_be_seen_and_fits_a_cell() {
        for name in ["aileron", "a b", "h\u{f6}he", "it's \"up\""] {
            assert!(is_name(name), "{name:?}");
        }
        for name in ["", " a", "a,b", "a\tb", "a\u{202e}b", "a\u{200b}b"] {
            assert!(!is_name(name), "{name:?}");
        }
    }
}
