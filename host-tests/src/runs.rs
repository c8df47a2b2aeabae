//! Runs among independent frames.

/// The probability of a run of `n` among `frames` frames, each of which is beyond with probability `p`: exact, by
/// recursion.
pub fn with_run(p: f64, n: usize, frames: u32) -> f64 {
    // The probability of no run so far, by the length of the row at the end.
    let mut rows = vec![0.0; n];
    rows[0] = 1.0;
    for _ in 0..frames {
        let broken = rows.iter().sum::<f64>() * (1.0 - p);
        rows.rotate_right(1);
        for row in &mut rows {
            *row *= p;
        }
        rows[0] = broken;
    }
    1.0 - rows.iter().sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Of the 1024 results of ten fair tosses 520 have a run of 3 (OEIS A050227), 880 a run of 2 (2^10 - F(12) = 1024 -
    /// 144, Fibonacci).
    #[test]
    fn runs_in_ten_fair_tosses_are_the_published_ones() {
        assert!((with_run(0.5, 3, 10) - 520.0 / 1024.0).abs() < 1e-12);
        assert!((with_run(0.5, 2, 10) - 880.0 / 1024.0).abs() < 1e-12);
    }
}
