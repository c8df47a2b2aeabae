//! A beginner's throws: the rate scales the travel, the limit ends it, both about the trimmed centre.

use handback::{Channel, Deflection, Pulse};
use handback_host_tests::{points, units};

use crate::oracle::{limited, one, read, us};

#[test]
fn given_a_rate_when_the_stick_moves_then_so_much_of_its_travel_comes_out() {
    let half = one(Channel { rate: points(50), ..Channel::pulse(0) });
    let at = |micros| read(&half, us(micros));
    assert_eq!([1000, 1250, 1500, 1600, 2000, 2250].map(at), [-50, -25, 0, 10, 50, 75].map(points));
}

#[test]
fn given_a_rate_when_a_reading_is_rounded_then_it_is_rounded_once() {
    // 1500 and 15/16 us are 30.72 units; at 45.001 % (7373 units) of the travel 13.824. Rounding 31 again gives 13.95.
    let rate = units(7373);
    let scaled = one(Channel { rate, ..Channel::pulse(0) });
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

#[test]
fn given_a_limit_when_the_stick_is_at_it_one_unit_short_of_it_and_past_it_then_it_is_the_most_that_comes_out() {
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

#[test]
fn given_a_limit_on_one_side_when_the_stick_goes_to_the_other_then_all_of_its_travel_comes_out() {
    // A throttle for a beginner: off is off, and three quarters is the most power. Either way round.
    for reversed in [false, true] {
        let throttle = one(Channel { limit_above: Some(points(50)), reversed, ..Channel::pulse(0) });
        let at = |micros| read(&throttle, us(if reversed { 3000 - micros } else { micros }));
        assert_eq!([1000, 1500, 1750, 2000].map(at), [-100, 0, 50, 50].map(points));
        let other = one(Channel { limit_below: Some(points(50)), reversed, ..Channel::pulse(0) });
        let at = |micros| read(&other, us(if reversed { 3000 - micros } else { micros }));
        assert_eq!([1000, 1250, 1500, 2000].map(at), [-50, -50, 0, 100].map(points));
    }
}

#[test]
fn given_rate_limit_trim_and_direction_together_when_the_stick_moves_then_they_apply_in_that_order() {
    let limited = limited(Channel::pulse(0), points(30));
    let channel = Channel { rate: points(50), trim: points(-10), reversed: true, ..limited };
    let at = |micros| read(&one(channel), us(micros));
    let about_trim = |way: i16| units(points(-10).to_bits() + points(way).to_bits());
    // At centre | 20 points, halved, turned | 100 points, halved, limited, turned.
    assert_eq!([1500, 1600, 2000, 1000].map(at), [0, -10, -30, 30].map(about_trim));
}

#[test]
fn given_the_least_rate_and_limit_when_the_stick_is_full_out_then_a_unit_comes_out() {
    let least = one(Channel { rate: units(1), ..limited(Channel::pulse(0), units(1)) });
    assert_eq!([1000, 1249, 1251, 1500, 1750, 2000].map(|m| read(&least, us(m))), [-1, -1, 0, 0, 1, 1].map(units));
    let sixteenth_less = Pulse::from_bits(us(1750).to_bits() - 1);
    assert_eq!(read(&least, sixteenth_less), Deflection::CENTRE, "half a unit, less a sixteenth of a microsecond");
}
