//! Lamp and beeper in words: pulses, and long states.

/// A pulse longer than this is no short one, and longer than this no long one either, in microseconds.
const SHORT: u64 = 200_000;
const LONG: u64 = 1_000_000;
/// Pulses this close to each other belong together.
const TOGETHER: u64 = 450_000;

/// One of the two.
#[derive(Debug)]
pub(crate) struct Sign {
    name: &'static str,
    on: bool,
    since: u64,
    told: bool,
    pulses: Vec<&'static str>,
}

impl Sign {
    pub(crate) const fn new(name: &'static str) -> Self {
        Self { name, on: false, since: 0, told: true, pulses: Vec::new() }
    }

    /// Takes its state, and returns what there is to say.
    pub(crate) fn pass(&mut self, now: u64, on: bool) -> Option<String> {
        let lasted = now - self.since;
        if on != self.on {
            if self.on && !self.told {
                self.pulses.push(match lasted {
                    ..SHORT => "short",
                    SHORT..LONG => "long",
                    _ => "very long",
                });
            }
            (self.on, self.since, self.told) = (on, now, false);
            return None;
        }
        if !on && !self.told && lasted > TOGETHER {
            self.told = true;
            let state = if self.pulses.is_empty() { "off".to_owned() } else { self.pulses.join(" ") };
            self.pulses.clear();
            return Some(format!("{}: {state}", self.name));
        }
        if on && !self.told && lasted > 2 * LONG {
            self.told = true;
            self.pulses.clear();
            return Some(format!("{}: on", self.name));
        }
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pulses_and_long_states_are_told_once() {
        let mut sign = Sign::new("lamp");
        let mut said = Vec::new();
        let mut now = 0;
        for (ms, on) in [(80, true), (80, false), (300, true), (900, false), (5_000, true), (5_000, false)] {
            for _ in 0..ms {
                now += 1_000;
                said.extend(sign.pass(now, on));
            }
        }
        assert_eq!(said, ["lamp: short long", "lamp: on", "lamp: off"]);
    }
}
