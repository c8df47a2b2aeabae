//! Counts as people read them.

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_set_apart() {
        assert_eq!([0, 999, 1000, 1_234_567].map(thousands), ["0", "999", "1,000", "1,234,567"]);
    }
}
