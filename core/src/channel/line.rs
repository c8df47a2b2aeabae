//! The conversion of a reading to a deflection and back: a multiplication by a slope that was computed beforehand.
//!
//! There is no division and no 64-bit arithmetic (N4), and nothing wraps (N1). `mod.rs` says what is computed;
//! `check.rs` computes the slopes.

use crate::quantity::{Deflection, Reading};

/// The lines of one axis: one on each side of its centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Line {
    pub(crate) number: u8,
    pub(crate) reversed: bool,
    pub(crate) centre: u16,
    pub(crate) low: Side,
    pub(crate) high: Side,
    /// At most 2^14.
    pub(crate) rate: u16,
    /// At most 2^15 - 1, as is `limit_above`.
    pub(crate) limit_below: u16,
    pub(crate) limit_above: u16,
    /// Within 2^13 either side of 0.
    pub(crate) trim: i16,
}

/// The line from the centre to one end and beyond. Distances are in steps of a reading.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub(crate) struct Side {
    /// From centre to end, above 0.
    pub(crate) travel: u16,
    /// From centre to the furthest reading of a stick: in range, and less than two travels from the centre.
    pub(crate) reach: u16,
    /// `rate` * 2^17 / `travel`, rounded down.
    pub(crate) slope: u32,
}

impl Line {
    /// The deflection of this reading; [`Deflection::OUT_OF_RANGE`] where the reading is out of range.
    pub(crate) fn deflection<U>(&self, reading: Reading<U>) -> Deflection {
        let reading = reading.to_bits();
        let below = reading < self.centre;
        let side = if below { self.low } else { self.high };
        let Some(travelled) = side.travelled(reading.abs_diff(self.centre), self.rate) else {
            return Deflection::OUT_OF_RANGE;
        };
        let way = if below == self.reversed {
            i32::from(travelled.min(self.limit_above))
        } else {
            i32::from(travelled.min(self.limit_below)).wrapping_neg()
        };
        let trimmed = way.wrapping_add(i32::from(self.trim)); // within 2^16
        i16::try_from(trimmed).map_or(Deflection::OUT_OF_RANGE, Deflection::from_bits)
    }

    /// The reading of this deflection, limited to the range of the channel.
    pub(crate) fn reading<U>(&self, deflection: Deflection) -> Reading<U> {
        let way = i32::from(deflection.to_bits()).wrapping_sub(i32::from(self.trim)); // within 2^16
        let below = (way < 0) != self.reversed;
        let side = if below { self.low } else { self.high };
        let distance = side.distance(way.unsigned_abs());
        // `reach` ends within the range of a reading.
        let reading = if below { self.centre.wrapping_sub(distance) } else { self.centre.wrapping_add(distance) };
        Reading::from_bits(reading)
    }
}

impl Side {
    /// `rate` * `distance` / `travel` in units of a deflection, rounded to nearest, halves up; `None` past the reach.
    fn travelled(self, distance: u16, rate: u16) -> Option<u16> {
        if distance > self.reach {
            return None;
        }
        let [distance, travel, rate] = [distance, self.travel, rate].map(u32::from);
        // Within the reach, `distance` is below 2 * `travel`, so this product is below 2^32. The slope is less than 1
        // below the exact slope, so the product is less than 2^16 below the exact product, which is half a unit.
        let estimate = distance.wrapping_mul(self.slope) >> 17;
        // So the estimate is the quotient rounded down, and `left` is below `travel`. Or the estimate is one less,
        // where the quotient was less than half a unit above a whole number, and `left` is below 1.5 * `travel`.
        let left = distance.wrapping_mul(rate).wrapping_sub(estimate.wrapping_mul(travel));
        let nearest = estimate.wrapping_add(u32::from(left.wrapping_mul(2) >= travel));
        #[allow(clippy::cast_possible_truncation)] // the reach ends before 2^15
        Some(nearest as u16)
    }

    /// `way` * `travel` in steps of a reading, rounded to nearest, halves up; at most the reach.
    fn distance(self, way: u32) -> u16 {
        // `way` is below 40,960, the sum of a deflection and a trim.
        let nearest = way.wrapping_mul(u32::from(self.travel)).wrapping_add(1 << 13) >> 14;
        #[allow(clippy::cast_possible_truncation)] // the reach is a u16
        let distance = nearest.min(u32::from(self.reach)) as u16;
        distance
    }
}
