//! The word that somebody meant who wrote another.

use strsim::damerau_levenshtein;

/// What a key or a column says of its unit at its end.
const UNITS: [&str; 9] = ["_ms", "_us", "_s", "_points", "_point", "_percent", "_pct", "_deg", "_frames"];

/// The known word that this one was meant to be: another unit at its end or none, other capitals,
/// an abbreviation, or a slip of a letter.
pub(crate) fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let slips = if word.chars().count() > 5 { 2 } else { 1 };
    let distance = |other: &str| match (plain(word), plain(other)) {
        (word, other) if word == other => 0,
        (word, other) if stem(&word) == stem(&other) => 1,
        (word, other) if word.len() > 2 && other.starts_with(&word) => 2,
        (word, other) => 1 + damerau_levenshtein(&word, &other).min(damerau_levenshtein(stem(&word), stem(&other))),
    };
    let measured = known.into_iter().map(|other| (distance(other), other));
    measured
        .filter(|(distance, _)| *distance <= 1 + slips)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, other)| other)
}

fn plain(word: &str) -> String {
    word.to_lowercase().replace(['-', ' '], "_")
}

fn stem(word: &str) -> &str {
    UNITS.iter().find_map(|unit| word.strip_suffix(unit)).filter(|stem| !stem.is_empty()).unwrap_or(word)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_unit_left_out_or_a_slip_finds_the_word_and_a_stranger_none() {
        let known =
            ["name", "engage_points", "release_points", "rest", "rest_points", "dwell_ms", "late_step_ms", "still_ms"];
        for (word, meant) in [
            ("engage", Some("engage_points")),
            ("dwell", Some("dwell_ms")),
            ("dwell_s", Some("dwell_ms")),
            ("dwel_ms", Some("dwell_ms")),
            ("dwell-ms", Some("dwell_ms")),
            ("dewll_ms", Some("dwell_ms")),
            ("Engage_Points", Some("engage_points")),
            ("egnage", Some("engage_points")),
            ("nam", Some("name")),
            ("rel", Some("release_points")),
            ("rests", Some("rest")),
            ("x", None),
            ("speed", None),
            ("colour", None),
        ] {
            assert_eq!(nearest(word, known), meant, "{word}");
        }
    }
}
