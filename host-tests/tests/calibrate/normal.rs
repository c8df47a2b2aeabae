//! The host's calculation of how often normal noise passes a threshold, in double precision (IEEE 754).

use std::f64::consts::{PI, SQRT_2};

/// The tail of the normal distribution, by the reference library `libm` (crates.io).
pub(crate) fn tail(x: f64) -> f64 {
    0.5 * libm::erfc(x / SQRT_2)
}

fn density(x: f64) -> f64 {
    (-0.5 * x * x).exp() / (2.0 * PI).sqrt()
}

/// The integral of a smooth function that is 0 at both ends, by the trapezium rule.
fn integral(from: f64, to: f64, steps: u32, f: impl Fn(f64) -> f64) -> f64 {
    let width = (to - from) / f64::from(steps);
    (0..=steps).map(|n| f(from + width * f64::from(n)) * if n == 0 || n == steps { 0.5 } else { 1.0 }).sum::<f64>()
        * width
}

/// The probability that `count` frames, any two of them correlated by `m`, are all beyond `z` on either side.
pub(crate) fn in_a_row(z: f64, count: u8, m: f64) -> f64 {
    if count == 1 || m >= 1.0 {
        return 2.0 * tail(z);
    }
    let (common, own) = (m.sqrt(), (1.0 - m).sqrt());
    let beyond = |t: f64| tail((z - common * t) / own) + tail((z + common * t) / own);
    integral(-12.0, 12.0, 600, |t| density(t) * beyond(t).powi(count.into()))
}

/// The probability that a frame is beyond `z` and the frame before was not; the two are correlated by 1 - `fresh`.
pub(crate) fn first_beyond(z: f64, fresh: f64) -> f64 {
    let alike = 1.0 - fresh;
    let own = (1.0 - alike * alike).sqrt();
    let within = |x: f64| tail((alike * x - z) / own) - tail((alike * x + z) / own);
    2.0 * integral(z, z + 8.0, 40_000, |x| density(x) * within(x))
}

/// The `z` at which `of`, which falls with `z`, is this probability.
pub(crate) fn solve(probability: f64, of: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, 9.0);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if of(middle) > probability { low = middle } else { high = middle }
    }
    high
}
