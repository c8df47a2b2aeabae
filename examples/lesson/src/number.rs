//! The one form in which a number is read, in tables, policies and options alike: digits, with a minus before them and a
//! point among them where they are wanted. No plus sign, no exponent, no unit.
//!
//! Readers of such formats differ on the other forms. One form means that a number is the same wherever it is copied to.

use std::ops::RangeInclusive;

/// What a number counts, and how people abbreviate it.
pub(crate) struct Unit {
    name: &'static str,
    short: &'static [&'static str],
}

pub(crate) const POINTS: Unit = Unit { name: "points", short: &["%", "pt", "pts", "point", "points"] };
pub(crate) const PERCENT: Unit = Unit { name: "percent", short: &["%", "percent"] };
pub(crate) const MICROSECONDS: Unit = Unit { name: "microseconds", short: &["us", "\u{b5}s", "\u{3bc}s"] };
pub(crate) const MILLISECONDS: Unit = Unit { name: "milliseconds", short: &["ms", "msec"] };
pub(crate) const SECONDS: Unit = Unit { name: "seconds", short: &["s", "sec"] };
pub(crate) const MINUTES: Unit = Unit { name: "minutes", short: &["min", "minutes"] };
pub(crate) const HOURS: Unit = Unit { name: "hours", short: &["h", "hours"] };
pub(crate) const COUNTS: Unit = Unit { name: "counts", short: &["counts"] };
pub(crate) const CHANNELS: Unit = Unit { name: "numbers", short: &[] };
pub(crate) const FRAMES: Unit = Unit { name: "frames", short: &["frame", "frames"] };
pub(crate) const METRES_A_SECOND: Unit = Unit { name: "metres a second", short: &["m/s"] };
pub(crate) const DEGREES: Unit = Unit { name: "degrees", short: &["deg", "\u{b0}", "degrees"] };

/// Whether a number has the form that is read.
pub(crate) fn is_plain(text: &str) -> bool {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    !(whole.is_empty() && part.is_empty()) && whole.bytes().chain(part.bytes()).all(|byte| byte.is_ascii_digit())
}

/// A number of this form.
pub(crate) fn read(text: &str) -> Option<f64> {
    if is_plain(text) { text.parse().ok() } else { None }
}

/// The value of an option, within this range; else what to give.
pub(crate) fn option(text: &str, range: RangeInclusive<f64>, unit: &Unit) -> Result<f64, String> {
    // Minus nothing is nothing.
    let number = read(text).filter(|number| range.contains(number)).map(|number| number + 0.0);
    number.ok_or_else(|| {
        let give = format!("give a number of {} from {} to {}", unit.name, range.start(), range.end());
        remedy(text, unit).map_or(give.clone(), |remedy| format!("{give}; {remedy}"))
    })
}

/// The value of an option that counts, within this range; else what to give, of which `what` is the noun.
pub(crate) fn whole_option(text: &str, range: RangeInclusive<u64>, what: &'static str) -> Result<u64, String> {
    let number = if is_plain(text) { text.parse().ok() } else { None };
    number.filter(|number| range.contains(number)).ok_or_else(|| {
        let give = format!("give a whole {what} from {} to {}", range.start(), range.end());
        remedy(text, &Unit { name: what, short: &[] }).map_or(give.clone(), |remedy| format!("{give}; {remedy}"))
    })
}

/// What to write instead, where this is a number in another form.
pub(crate) fn remedy(text: &str, unit: &Unit) -> Option<String> {
    // Of a table in a document the minus sign is another, and the space before a unit too.
    let bare = text.trim().replace('\u{2212}', "-");
    if bare != text && is_plain(&bare) {
        return Some(format!("write {bare}"));
    }
    let (number, rest) = cut(&bare)?;
    let short = rest.trim();
    if short.is_empty() {
        return match number {
            _ if is_plain(number) => None,
            _ if number.contains(['e', 'E']) => Some(format!("no exponent: write {}", digits(number)?)),
            _ => Some(format!("no plus sign: write {}", digits(number)?)),
        };
    }
    let decimals = short.strip_prefix(',').filter(|decimals| is_plain(decimals) && !decimals.starts_with(['-', '.']));
    if let Some(decimals) = decimals {
        return (!number.contains('.')).then(|| format!("the decimal sign is a point: write {number}.{decimals}"));
    }
    if unit.short.contains(&short) {
        return Some(format!("{} are meant: write {}", unit.name, digits(number)?));
    }
    let is_unit = short.chars().all(|c| c.is_alphabetic() || ['%', '/', '\u{b0}'].contains(&c));
    is_unit.then(|| format!("{} are meant: write the bare number of them", unit.name))
}

/// The number at the beginning of a text, in any form, and the rest.
fn cut(text: &str) -> Option<(&str, &str)> {
    let mantissa = text.trim_start_matches(['+', '-']).trim_start_matches(|c: char| c.is_ascii_digit() || c == '.');
    let exponent = mantissa.strip_prefix(['e', 'E']).map(|power| power.strip_prefix(['+', '-']).unwrap_or(power));
    let rest = match exponent {
        Some(power) if power.starts_with(|c: char| c.is_ascii_digit()) => {
            power.trim_start_matches(|c: char| c.is_ascii_digit())
        }
        _ => mantissa,
    };
    let number = &text[..text.len() - rest.len()];
    number.parse::<f64>().ok().map(|_| (number, rest))
}

/// The same number in the form that is read.
fn digits(number: &str) -> Option<String> {
    const LONGEST: usize = 24;
    let value = number.parse::<f64>().ok().filter(|value| value.is_finite())?;
    Some(value.to_string()).filter(|digits| digits.len() <= LONGEST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_digits_a_minus_and_a_point_are_read() {
        for text in ["0", "-1.25", ".5", "5.", "1500", "-0"] {
            assert!(is_plain(text), "{text}");
        }
        for text in ["", "-", ".", "+5", "1e1", "1E1", "NaN", "inf", "0x10", "1_000", "1,5", " 1", "2%", "--1"] {
            assert!(!is_plain(text), "{text}");
        }
    }

    /// Given a number in another form, when it is refused, then the message has the same number in the form that is
    /// read.
    #[test]
    fn another_form_is_told_with_the_number_to_write() {
        for (text, told) in [
            ("+5", Some("no plus sign: write 5")),
            ("+.5", Some("no plus sign: write 0.5")),
            ("1e1", Some("no exponent: write 10")),
            ("-2.5E-1", Some("no exponent: write -0.25")),
            ("+1e+2", Some("no exponent: write 100")),
            ("2%", Some("points are meant: write 2")),
            ("+2 %", Some("points are meant: write 2")),
            ("3 points", Some("points are meant: write 3")),
            ("\u{2212}1", Some("write -1")),
            (" 5\u{a0}", Some("write 5")),
            ("1,5", Some("the decimal sign is a point: write 1.5")),
            ("10us", Some("points are meant: write the bare number of them")),
            // No number to suggest, or none that is short enough.
            ("5", None),
            ("1e300", None),
            ("1e999", None),
            ("abc", None),
            ("0x10", None),
            ("1.2.3", None),
            ("1,5,2", None),
            ("--1", None),
            ("", None),
        ] {
            assert_eq!(remedy(text, &POINTS).as_deref(), told, "{text}");
        }
        assert_eq!(remedy("300ms", &MILLISECONDS).as_deref(), Some("milliseconds are meant: write 300"));
        assert_eq!(
            remedy("0.3s", &MILLISECONDS).as_deref(),
            Some("milliseconds are meant: write the bare number of them")
        );
    }

    #[test]
    fn an_option_says_its_range_and_what_to_write() {
        assert_eq!(option("-0", 0.0..=1.0, &HOURS).map(f64::to_bits), Ok(0));
        assert_eq!(option("2", 0.5..=1.0, &HOURS), Err("give a number of hours from 0.5 to 1".into()));
        assert_eq!(option("NaN", 0.5..=1.0, &HOURS), Err("give a number of hours from 0.5 to 1".into()));
        assert_eq!(
            option("1e0", 0.5..=1.0, &HOURS),
            Err("give a number of hours from 0.5 to 1; no exponent: write 1".into())
        );
        assert_eq!(whole_option("18446744073709551615", 0..=u64::MAX, "number"), Ok(u64::MAX));
        assert_eq!(whole_option("1.5", 1..=9, "number"), Err("give a whole number from 1 to 9".into()));
    }
}
