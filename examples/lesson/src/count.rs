//! Counts and times as people read them.

/// A count with its noun.
pub(crate) fn counted(count: u64, what: &str) -> String {
    format!("{} {what}{}", thousands(count), if count == 1 { "" } else { "s" })
}

/// A whole number with its thousands set apart.
pub(crate) fn thousands(count: u64) -> String {
    let digits = count.to_string();
    let mut apart = String::with_capacity(digits.len() * 4 / 3);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            apart.push(',');
        }
        apart.push(digit);
    }
    apart
}

/// A part in percent of the whole, rounded half up; 0 of nothing.
pub(crate) fn percent(part: u64, whole: u64) -> u64 {
    let (part, whole) = (u128::from(part), u128::from(whole));
    let percent = (part * 200 + whole).checked_div(whole * 2).unwrap_or(0);
    u64::try_from(percent).unwrap_or(u64::MAX)
}

/// Microseconds as seconds.
#[allow(clippy::cast_precision_loss)] // 2^53 us are 285 years
pub(crate) fn seconds(us: u64) -> f64 {
    us as f64 / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_half_percent_is_rounded_up() {
        let of = [(0, 0), (0, 9), (124, 1000), (125, 1000), (9, 9), (u64::MAX, u64::MAX)];
        assert_eq!(of.map(|(part, whole)| percent(part, whole)), [0, 0, 12, 13, 100, 100]);
    }

    #[test]
    fn thousands_are_set_apart() {
        assert_eq!([0, 999, 1000, 1_234_567].map(thousands), ["0", "999", "1,000", "1,234,567"]);
    }
}
