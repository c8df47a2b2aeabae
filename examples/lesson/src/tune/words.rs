//! Texts of rates, times and noise, for the report and the picture.

use super::rest::AxisRest;

/// Rates up to this many takeovers per hour get the same text.
const RAREST: f64 = 1e-7;

/// The text of a rate in takeovers per hour: `120 an hour`, `one in 3,400 hours`.
pub(crate) fn rate(per_hour: f64) -> String {
    if per_hour >= 1.0 {
        format!("{} an hour", two_digits(per_hour))
    } else if per_hour > RAREST {
        format!("one in {} hours", two_digits(1.0 / per_hour))
    } else {
        format!("less than one in {} hours", two_digits(1.0 / RAREST))
    }
}

/// A number of 0.1 or more with two significant digits and thousands separators.
pub(crate) fn two_digits(value: f64) -> String {
    if value < 9.95 {
        return format!("{value:.1}").trim_end_matches(".0").to_owned();
    }
    let unit = 10_f64.powi(decade(value) - 1);
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // it saturates
    crate::count::thousands(((value / unit).round() * unit).round() as u64)
}

/// The decimal exponent of a value: the largest power of ten that is not above it.
#[allow(clippy::cast_possible_truncation)] // a few hundred at most
pub(crate) fn decade(value: f64) -> i32 {
    value.log10().floor() as i32
}

/// Seconds as `m:ss`.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // it saturates
pub(crate) fn lasted(seconds: f64) -> String {
    let whole = seconds.round() as u64;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// The class of the correlation of frames, and its effect on `confirm`.
pub(crate) fn bandwidth(rest: &AxisRest) -> (&'static str, &'static str) {
    let [one, two, _] = rest.correlation;
    if rest.step == 0.0 {
        ("none", "the readings never changed")
    } else if one > 0.5 {
        ("slow", "frames are strongly correlated, so confirm helps little")
    } else if one < -0.25 {
        ("fast", "it changes sides from frame to frame, so confirm helps much")
    } else if one > 0.15 || two > 0.15 {
        ("coloured", "frames are somewhat correlated, so confirm helps")
    } else {
        ("white", "frames are independent, so confirm helps much")
    }
}

/// What a margin is a multiple of: the largest distance that `confirm` frames in a row all reached.
pub(crate) fn strayed(confirm: u8) -> String {
    if confirm == 1 { "strayed".to_owned() } else { format!("strayed for {confirm} frames in a row") }
}

/// Breaks text at spaces into lines of at most `width` characters.
pub(crate) fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rates_are_said_by_the_hour_or_by_the_hours() {
        for (per_hour, said) in [
            (123.0, "120 an hour"),
            (1.0, "1 an hour"),
            (0.25, "one in 4 hours"),
            (1.0 / 3456.0, "one in 3,500 hours"),
            (0.0, "less than one in 10,000,000 hours"),
        ] {
            assert_eq!(rate(per_hour), said);
        }
    }

    #[test]
    fn text_is_broken_at_spaces() {
        assert_eq!(wrapped("one two three", 8), ["one two", "three"]);
        assert_eq!(wrapped("endless", 3), ["endless"]);
    }
}
