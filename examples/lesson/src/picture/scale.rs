//! Scales from quantities to pixels, and round numbers for ticks.

/// A linear scale: `from` is drawn at `at`, `to` at `until`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) at: f64,
    pub(super) until: f64,
}

impl Scale {
    /// The place of a value. A value off the scale is placed at its nearer end.
    pub(super) fn place(self, value: f64) -> f64 {
        let length = self.to - self.from;
        let part = if length == 0.0 { 0.0 } else { (value - self.from) / length };
        self.at + (self.until - self.at) * part.clamp(0.0, 1.0)
    }

    pub(super) fn holds(self, value: f64) -> bool {
        (self.from..=self.to).contains(&value)
    }
}

/// A deflection in points.
pub(super) fn points(bits: i16) -> f64 {
    f64::from(bits) / 163.84
}

/// The multiples of `step` from `from` to `to`.
pub(super) fn multiples(from: f64, to: f64, step: f64) -> impl Iterator<Item = f64> {
    let first = (from / step).ceil();
    (0..200).map(move |n| (first + f64::from(n)) * step).take_while(move |value| *value <= to + step * 1e-6)
}

/// The smallest round time step, in seconds, that gives at most `most` ticks.
pub(super) fn time_step(lasted_s: f64, most: f64) -> f64 {
    const STEPS: [f64; 22] = [
        0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0, 3600.0,
        7200.0, 14_400.0, 43_200.0, 86_400.0,
    ];
    let least = lasted_s / most;
    STEPS.into_iter().find(|step| *step >= least).unwrap_or_else(|| (least / 86_400.0).ceil() * 86_400.0)
}

/// The smallest number of the form 1, 2 or 5 times a power of ten that is at least `value`.
pub(super) fn round_up(value: f64) -> f64 {
    let ten = 10_f64.powf(value.max(1e-3).log10().floor());
    [1.0, 2.0, 5.0, 10.0].into_iter().map(|times| times * ten).find(|round| *round >= value).unwrap_or(10.0 * ten)
}

/// The label of a time tick: `m:ss`, with tenths where ticks are closer than a second.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // ticks are small and not negative
pub(super) fn tick_label(at_s: f64, step_s: f64) -> String {
    let tenths = (at_s * 10.0).round().max(0.0) as u64;
    let (minutes, within) = (tenths / 600, tenths % 600);
    if step_s < 1.0 {
        format!("{minutes}:{:02}.{}", within / 10, within % 10)
    } else {
        format!("{minutes}:{:02}", within / 10)
    }
}

#[cfg(test)]
#[allow(clippy::float_cmp)] // round numbers, exact in binary or made by the same sum
mod tests {
    use super::*;

    #[test]
    fn a_scale_may_run_upwards_and_keeps_what_is_off_it_at_its_ends() {
        let up = Scale { from: -100.0, to: 100.0, at: 90.0, until: 10.0 };
        assert_eq!([-100.0, 0.0, 100.0, 500.0].map(|value| up.place(value)), [90.0, 50.0, 10.0, 10.0]);
    }

    #[test]
    fn ticks_are_round_and_few() {
        assert_eq!(time_step(600.0, 12.0), 60.0);
        assert_eq!(time_step(13.0, 12.0), 2.0);
        assert_eq!(multiples(0.0, 13.0, 2.0).count(), 7);
        assert_eq!([round_up(3.0), round_up(120.0), round_up(50.0)], [5.0, 200.0, 50.0]);
        assert_eq!([tick_label(90.0, 30.0), tick_label(1.5, 0.5)], ["1:30", "0:01.5"]);
    }
}
