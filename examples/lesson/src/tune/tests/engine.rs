//! The calculated rates against a simulation: noise flies the engine itself, large enough that takeovers can be
//! counted.

use handback::{AxisRule, Deflection};
use statrs::distribution::{ContinuousCDF, StudentsT};

use super::noise::{Colour, Simulated};
use crate::tune::counted::{each_takeover, with};
use crate::tune::rate::Noise;

/// One deviation of the noise, in units of a deflection.
const DEVIATION: f64 = 400.0;

/// The takeovers that the engine reports, in each of `parts` equal parts of a simulation.
fn takeovers(noise: &mut Simulated, engage: i16, confirm: u8, parts: usize, frames: u32) -> Vec<u32> {
    // The axis becomes free in the first frame that is not beyond, so that every row counts.
    let [engage, release] = [engage, engage - 1].map(Deflection::from_bits);
    let rule = with(AxisRule::sprung(), engage, release, confirm);
    let frames = frames as usize;
    let mut counts = vec![0; parts];
    let readings = (1..).map(|frame| (20_000 * frame, noise.next() * DEVIATION / 163.84));
    each_takeover(readings.take(parts * frames), rule, 0.02, |frame| counts[frame / frames] += 1);
    counts
}

/// A threshold, its calculated number of takeovers, and the number that was counted.
struct Point {
    name: String,
    expected: f64,
    events: u32,
    /// Half the width of the 99 % interval of the simulation, from the scatter of its parts.
    half: f64,
}

/// Fifty parts, long enough that a thousand takeovers or more are expected.
fn point(name: &str, colour: &Colour, one_in: i16, confirm: u8, seed: u64) -> Point {
    let mut simulated = Simulated::new(colour, seed);
    let noise = Noise { deviation: DEVIATION, correlation: simulated.correlation() };
    // Units are whole: beyond 800 is 801 and more, which is 800.5 and more before rounding.
    let rate = |engage: i16| noise.per_frame(f64::from(engage) + 0.5, 0.0, confirm);
    let (mut often, mut seldom) = (100, 3000);
    while seldom - often > 1 {
        let middle = i16::midpoint(often, seldom);
        if rate(middle) * f64::from(one_in) > 1.0 { often = middle } else { seldom = middle }
    }
    let (engage, rate) = (seldom, rate(seldom));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // below a million
    let frames = (1500.0 / 50.0 / rate).ceil() as u32;
    let parts = takeovers(&mut simulated, engage, confirm, 50, frames);
    let events: u32 = parts.iter().sum();
    let mean = f64::from(events) / 50.0;
    let squares: f64 = parts.iter().map(|&part| (f64::from(part) - mean).powi(2)).sum();
    // Student's t with 49 degrees of freedom, 99 % on both sides together.
    let student = StudentsT::new(0.0, 1.0, 49.0).expect("49 is above 0").inverse_cdf(0.995);
    let half = student * (squares / 49.0 * 50.0).sqrt();
    let name = format!("{name}, {:.2} deviations, {confirm} in a row", f64::from(engage) / DEVIATION);
    Point { name, expected: rate * f64::from(frames) * 50.0, events, half }
}

/// Given noise of every colour, when it flies the engine, then it takes the craft as often as calculated. Of 54 points
/// some are outside a 99 % interval: more than three would happen by chance once in 400 runs. None may be outside
/// twice the interval.
#[test]
fn noise_takes_the_craft_as_often_as_calculated() {
    let colours = [
        ("white", Colour::White),
        ("low-pass of a quarter of the rate", Colour::LowPass(0.25)),
        ("low-pass of an eighth", Colour::LowPass(0.125)),
        ("forgets in 2 frames", Colour::Forgets(2.0)),
        ("forgets in 10 frames", Colour::Forgets(10.0)),
        ("sways over 5 frames", Colour::Sways(5.0)),
    ];
    let mut points = Vec::new();
    for (number, (name, colour)) in (0..).zip(&colours) {
        for confirm in 1..=3 {
            for (step, one_in) in (0..).zip([50, 200, 700]) {
                points.push(point(name, colour, one_in, confirm, 100 * number + 10 * u64::from(confirm) + step));
            }
        }
    }
    let mut outside = 0;
    for point in &points {
        let off = f64::from(point.events) - point.expected;
        println!("{}: {} for {:.1}, +-{:.1}", point.name, point.events, point.expected, point.half);
        assert!(point.events >= 1000, "{}: {} events", point.name, point.events);
        assert!(off.abs() <= 2.0 * point.half, "{}: {} for {:.1}", point.name, point.events, point.expected);
        outside += u32::from(off.abs() > point.half);
    }
    println!("{} points, {outside} outside of their own 99 % interval", points.len());
    assert!(outside <= 3, "{outside} points of {} are outside", points.len());
}
