//! The terms 'neutral zone' and 'differential gap' of IEC 60050-351:2013 (edition from memory; the numbers of the
//! entries are not known here), and the characteristic that they name. The switching values are chosen here; gap and
//! zone follow from them.
//!
//! (The 'dead band' of ANSI/ISA-51.1-1979, year from memory, is different: it is defined on a reversal of direction, in
//! per cent of span.)

use handback::{Deflection, Policy};
use handback_host_tests::{bare, lesson_with, points, units};

/// The switching values on one side, in units: held on the way outwards, free on the way back.
#[derive(Debug, PartialEq)]
struct Side {
    held: i16,
    free: i16,
}

/// Sweeps the stick outwards and back, one unit in each frame, and returns the switching values.
fn sweep(policy: Policy<1>, side: i16) -> Side {
    let reach = 400;
    let mut lesson = lesson_with(policy).step();
    let (mut held, mut free) = (Vec::new(), Vec::new());
    for at in (0..reach).chain((0..reach).rev()) {
        let before = lesson.outcome().held;
        lesson = lesson.instructor(0, units(at * side)).step();
        match (before.is_empty(), lesson.outcome().held.is_empty()) {
            (true, false) => held.push(at * side),
            (false, true) => free.push(at * side),
            _ => {}
        }
    }
    let once = |places: Vec<i16>| {
        *<[i16; 1]>::try_from(places).expect("it switches once out and once back").first().expect("one")
    };
    Side { held: once(held), free: once(free) }
}

/// The switching values ±2.0 / ±1.5 points.
fn policy() -> Policy<1> {
    let mut policy = bare();
    policy.axes[0].release = Deflection::from_centipoints(150);
    policy
}

/// Given switching values of 2 and 1.5 points, when the stick is swept, then gap and neutral zone are those of the
/// definition.
/// Rules: T1, T3
#[test]
fn gap_and_neutral_zone_follow_from_the_switching_values() {
    let (up, down) = (sweep(policy(), 1), sweep(policy(), -1));
    // Beyond 2.0 points (327.68 units, rounded to 328): 329. Within 1.5 points (245.76 units, rounded to 246): 246.
    assert_eq!(up, Side { held: 329, free: 246 });
    assert_eq!(down, Side { held: -329, free: -246 });
    let in_points = |units: i16| f64::from(units) * 100.0 / f64::from(points(100).to_bits());
    let within_a_unit = |value: f64, expected: f64| (value - expected).abs() <= in_points(2);
    let gap = |side: &Side| in_points((side.held - side.free).abs());
    assert!(within_a_unit(gap(&up), 0.5) && within_a_unit(gap(&down), 0.5), "differential gap 0.5: {}", gap(&up));
    let mean = |side: &Side| in_points(side.held).midpoint(in_points(side.free));
    let zone = mean(&up) - mean(&down);
    assert!(within_a_unit(zone, 3.5), "neutral zone between the means 3.5: {zone}");
}

/// Given a held or a free axis, when its stick moves to and fro inside the gap, then the axis stays held or free.
/// Rules: T1, T3
#[test]
fn inside_the_gap_an_axis_stays_held_or_free() {
    let inside = [units(250), units(320), units(247), units(328)];
    for (start, held) in [(points(3), &[0][..]), (points(0), &[][..])] {
        let mut lesson = lesson_with(policy()).instructor(0, start).step().holds(held);
        for at in inside.into_iter().cycle().take(40) {
            lesson = lesson.instructor(0, at).step().holds(held);
        }
    }
}
