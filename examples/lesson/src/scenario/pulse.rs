//! Pulse widths: what a transmitter's converter makes of a stick, whole microseconds from 1000 to 2000.

use handback::Deflection;

/// The pulse for a stick so many points from its nominal centre; a point is 5 us.
pub(crate) fn width_us(points: f64) -> u16 {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped to 1000..=2000 first
    let us = (1500.0 + points * 5.0).round().clamp(1000.0, 2000.0) as u16;
    us
}

/// The deflection that a pulse stands for, rounded to the nearest unit.
///
/// (us - 1500) / 500 of 2^14 is (us - 1500) * 4096 / 125; the divisor is odd, so there are no halves.
pub(crate) fn deflection(width_us: u16) -> Deflection {
    let scaled = (i32::from(width_us) - 1500) * 4096;
    let nearest = if scaled < 0 { (scaled - 62) / 125 } else { (scaled + 62) / 125 };
    Deflection::from_bits(i16::try_from(nearest).unwrap_or(if nearest < 0 { i16::MIN } else { i16::MAX }))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pulse_is_the_deflection_that_the_trade_reads_from_it() {
        for (us, bits) in [(1000, -16384), (1500, 0), (2000, 16384), (1510, 328), (1499, -33), (1250, -8192)] {
            assert_eq!(deflection(us), Deflection::from_bits(bits), "{us} us");
        }
    }

    #[test]
    fn a_stick_past_its_end_gives_the_end() {
        assert_eq!(width_us(-104.0), 1000);
        assert_eq!(width_us(250.0), 2000);
        assert_eq!(width_us(2.04), 1510);
    }
}
