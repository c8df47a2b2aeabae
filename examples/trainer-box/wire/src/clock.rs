//! The time of a trace: the 32-bit clock of the box, unwrapped.

use handback::Instant;

use crate::text::Line;

/// Microseconds in a second.
const SECOND: u32 = 1_000_000;

/// The time in whole seconds and microseconds, so that it is written without 64-bit numbers. It begins with the reading
/// of the box's clock, and its lowest 32 bits always are that reading.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Clock {
    last: Option<Instant>,
    seconds: u32,
    micros: u32,
}

impl Clock {
    /// Advances the time to `now`, which is less than 71 minutes later.
    pub(crate) fn pass(&mut self, now: Instant) {
        let dt = match self.last.replace(now) {
            Some(last) => now.as_ticks().wrapping_sub(last.as_ticks()),
            None => now.as_ticks(),
        };
        let seconds = dt / SECOND;
        self.seconds = self.seconds.wrapping_add(seconds);
        self.micros = self.micros.wrapping_add(dt.wrapping_sub(seconds.wrapping_mul(SECOND)));
        if self.micros >= SECOND {
            self.seconds = self.seconds.wrapping_add(1);
            self.micros = self.micros.wrapping_sub(SECOND);
        }
    }

    pub(crate) fn write(&self, line: &mut Line) {
        if self.seconds == 0 {
            line.number(self.micros);
        } else {
            line.number(self.seconds);
            line.digits(self.micros, 6);
        }
    }
}

#[cfg(test)]
mod tests {
    extern crate std;
    use std::string::String;

    use super::*;

    /// Given a clock that wraps twice, when each time is written, then it is the sum of all differences.
    #[test]
    fn the_time_goes_on_where_the_clock_wraps() {
        let (mut clock, mut ticks, mut time) = (Clock::default(), 999_950_u32, 0_u64);
        for n in 0..10_000_u32 {
            let dt = if n == 0 { 0 } else { n.wrapping_mul(2_654_435_761) % 2_000_000 };
            ticks = ticks.wrapping_add(dt);
            time = if n == 0 { u64::from(ticks) } else { time + u64::from(dt) };
            clock.pass(Instant::from_ticks(ticks));
            let mut line = Line::new();
            clock.write(&mut line);
            let text = String::from_utf8(line.end().to_vec()).expect("ASCII");
            assert_eq!(text.trim_end().parse(), Ok(time));
            assert_eq!(time & u64::from(u32::MAX), u64::from(ticks));
        }
        assert!(time > 1 << 33);
    }
}
