//! A transmitter with its own format: number and order of its channels, and direction, ends and centre of each stick.
//!
//! Positions of sticks are in tenths of a point, for aileron, elevator, throttle, rudder.

use seeded::Random;

use crate::line::Make;

/// The positions of four sticks, in tenths of a point.
pub type Sticks = [i64; 4];

/// The peak of the noise of a stick, in microseconds.
const NOISE: i64 = 2;
/// The width of a channel without a stick, in microseconds.
const UNUSED: i64 = 1_500;

/// The channel of a stick. Widths are in microseconds.
#[derive(Clone, Copy, Debug)]
pub struct Stick {
    pub channel: usize,
    pub reversed: bool,
    pub low: i64,
    pub centre: i64,
    pub high: i64,
}

/// A transmitter.
#[derive(Clone, Copy, Debug)]
pub struct Transmitter {
    pub make: Make,
    pub sticks: [Stick; 4],
}

impl Transmitter {
    /// The pulse widths of a frame with the sticks there, with noise.
    pub fn widths(&self, at: Sticks, random: &mut Random) -> Vec<u64> {
        let mut widths = vec![UNUSED; self.make.channels];
        for (stick, at) in self.sticks.iter().zip(at) {
            let at = if stick.reversed { -at } else { at };
            let travel = if at < 0 { stick.centre - stick.low } else { stick.high - stick.centre };
            widths[stick.channel] = stick.centre + at * travel / 1_000 + random.within(-NOISE, NOISE);
        }
        widths.into_iter().map(i64::unsigned_abs).collect()
    }
}

/// The sticks in a frame of the instructor's as [`People`](crate::people::People) send it.
pub fn of_instructor(widths: &[u64]) -> Sticks {
    [0, 1, 2, 3].map(|channel| 2 * (us(widths, channel) - 1_500))
}

/// The sticks in a frame of the student's as [`People`](crate::people::People) send it.
pub fn of_student(widths: &[u64]) -> Sticks {
    let elevator = 1_480 - us(widths, 2);
    let travel = if elevator > 0 { 480 } else { 520 };
    let [aileron, throttle, rudder] = [1, 0, 3].map(|channel| 2 * (us(widths, channel) - 1_500));
    [aileron, elevator * 1_000 / travel, throttle, rudder]
}

fn us(widths: &[u64], channel: usize) -> i64 {
    widths[channel].cast_signed()
}
