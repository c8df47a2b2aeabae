//! A beginner's throws: the rate scales the travel, the limit ends it, both about the trimmed centre.

use handback::{Channel, Deflection, Pulse};
use handback_host_tests::{points, units, with};

use crate::oracle::{limited, one, read, us};

/// Given a rate, when the stick moves, then that share of its travel comes out.
#[test]
fn a_rate_scales_the_travel() {
    let half = one(with!(Channel::pulse(0), rate: points(50)));
    let at = |micros| read(&half, us(micros));
    assert_eq!([1000, 1250, 1500, 1600, 2000, 2250].map(at), [-50, -25, 0, 10, 50, 75].map(points));
}

/// Given a rate, when a reading is rounded, then it is rounded once.
#[test]
fn a_scaled_reading_is_rounded_once() {
    // 1500 and 15/16 us are 30.72 units; at 45.001 % (7373 units) of the travel 13.824. Rounding 31 again gives 13.95.
    let rate = units(7373);
    let scaled = one(with!(Channel::pulse(0), rate: rate));
    let twice = |pulse| {
        let whole = i64::from(read(&one(Channel::pulse(0)), pulse).to_bits());
        crate::oracle::nearest(whole * i64::from(rate.to_bits()), 1 << 14)
    };
    let pulses = (24_000..36_000).map(Pulse::from_bits);
    let once =
        |pulse: Pulse| crate::oracle::nearest((i64::from(pulse.to_bits()) - 24_000) * i64::from(rate.to_bits()), 8000);
    let mut differ = 0;
    for pulse in pulses {
        let came = i64::from(read(&scaled, pulse).to_bits());
        assert_eq!(came, once(pulse), "{pulse}");
        differ += usize::from(came != twice(pulse));
    }
    assert!(differ > 100, "rounding twice would be seen: {differ}");
}

/// Given a limit, when the stick is one unit short of it, at it or past it, then no more than the limit comes out.
#[test]
fn a_limit_is_the_most_that_comes_out() {
    let whole = one(Channel::pulse(0));
    for side in [-1i16, 1] {
        let pulse = us(u32::from(1500u16.saturating_add_signed(200 * side)));
        let exactly = read(&whole, pulse).to_bits().unsigned_abs();
        for (limit, comes_out) in [(-1, -1), (0, 0), (1, 0)] {
            let bits = i16::try_from(exactly).expect("a deflection");
            let limited = one(limited(Channel::pulse(0), units(bits + limit)));
            assert_eq!(read(&limited, pulse), units(side * (bits + comes_out)));
            assert_eq!(read(&limited, us(if side < 0 { 750 } else { 2250 })), units(side * (bits + limit)));
        }
    }
}

/// Given a limit on one side, when the stick goes to the other side, then all of its travel comes out.
#[test]
fn a_limit_on_one_side_leaves_the_other_whole() {
    // A throttle for a beginner: the low end is off, and three quarters is the most power. Then reversed.
    for reversed in [false, true] {
        let throttle = one(with!(Channel::pulse(0), limit_above: Some(points(50)), reversed: reversed));
        let at = |micros| read(&throttle, us(if reversed { 3000 - micros } else { micros }));
        assert_eq!([1000, 1500, 1750, 2000].map(at), [-100, 0, 50, 50].map(points));
        let other = one(with!(Channel::pulse(0), limit_below: Some(points(50)), reversed: reversed));
        let at = |micros| read(&other, us(if reversed { 3000 - micros } else { micros }));
        assert_eq!([1000, 1250, 1500, 2000].map(at), [-50, -50, 0, 100].map(points));
    }
}

/// Given rate, direction, limit and trim together, when the stick moves, then they apply in this order.
#[test]
fn rate_direction_limit_and_trim_apply_in_this_order() {
    let limited = limited(Channel::pulse(0), points(30));
    let channel = with!(limited, rate: points(50), trim: points(-10), reversed: true);
    let at = |micros| read(&one(channel), us(micros));
    let about_trim = |way: i16| units(points(-10).to_bits() + points(way).to_bits());
    // At centre | 20 points, halved, reversed | 100 points, halved, reversed, limited.
    assert_eq!([1500, 1600, 2000, 1000].map(at), [0, -10, -30, 30].map(about_trim));
}

/// Given the least rate and limit, when the stick is full out, then one unit comes out.
#[test]
fn the_least_rate_and_limit_give_one_unit() {
    let least = one(with!(limited(Channel::pulse(0), units(1)), rate: units(1)));
    assert_eq!([1000, 1249, 1251, 1500, 1750, 2000].map(|m| read(&least, us(m))), [-1, -1, 0, 0, 1, 1].map(units));
    let sixteenth_less = Pulse::from_bits(us(1750).to_bits() - 1);
    assert_eq!(read(&least, sixteenth_less), Deflection::CENTRE, "half a unit, less a sixteenth of a microsecond");
}
