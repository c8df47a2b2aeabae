//! The check of a set-up: a value at the limit passes, one past it is refused with axis, field and value.

use handback::{
    Channel, ChannelError, Channels, CheckedChannels, Count, Counts, Deflection, Micros, Pulse, Reading, Unit,
};
use handback_host_tests::{points, units, with};

use crate::oracle::us;

/// The error of a set-up whose axis 2 has this channel.
fn refused<U: Unit>(good: Channel<U>, channel: Channel<U>) -> Option<ChannelError<U>> {
    let [a, b, d] = [0, 1, 3].map(|number| with!(good, number: number));
    Channels::<U, 4, 4>::new([a, b, with!(channel, number: 2), d]).check().err()
}

fn pulse(channel: Channel<Micros>) -> Option<ChannelError<Micros>> {
    refused(Channel::pulse(0), channel)
}

const POT: Channel<Counts> = Channel::counts(0, [400, 2000, 3600], 4095);

fn count(channel: Channel<Counts>) -> Option<ChannelError<Counts>> {
    refused(POT, channel)
}

/// A reading moved by `bits`.
fn by<U>(reading: Reading<U>, bits: i16) -> Reading<U> {
    Reading::from_bits(reading.to_bits().saturating_add_signed(bits))
}

/// Given the defaults, when they are checked, then they pass for 1 and for 16 axes.
#[test]
fn the_defaults_pass_for_1_and_16_axes() {
    let one = Channels::<_, 1, 1>::pulses();
    assert_eq!(one.check().map(|checked| *checked.channels()), Ok(one));
    let sixteen = Channels::<_, 16, 16>::pulses();
    assert_eq!(CheckedChannels::try_from(sixteen).map(Channels::from), Ok(sixteen));
    let pots = Channels::<_, 2, 4>::new([POT, with!(POT, number: 3)]);
    assert_eq!(pots.check().map(|checked| *checked.channels()), Ok(pots));
}

/// Given no axis with a channel, when the set-up is checked, then it is refused; one axis with a channel is enough.
#[test]
fn at_least_one_axis_needs_a_channel() {
    let mut channels = Channels::<Micros, 2, 8> { axes: [None; 2] };
    assert_eq!(channels.check().err(), Some(ChannelError::NoChannel));
    channels.axes[1] = Some(Channel::pulse(7));
    assert_eq!(channels.check().err(), None);
}

/// Given the number of a channel, when it is past the last, then it is refused.
#[test]
fn a_channel_number_past_the_last_is_refused() {
    let check = |number| Channels::<_, 2, 8>::new([Channel::pulse(0), Channel::pulse(number)]).check().err();
    for number in [8, 9, 255] {
        assert_eq!(check(number), Some(ChannelError::PastLast { axis: 1, number, channels: 8 }));
    }
    assert_eq!((check(7), check(1)), (None, None));
}

/// Given two axes on one channel, when they are checked, then the second is refused and the error names the first.
#[test]
fn two_axes_on_one_channel_are_refused() {
    let channels = Channels::<_, 4, 8>::new([5, 2, 7, 2].map(Channel::pulse));
    assert_eq!(channels.check().err(), Some(ChannelError::Twice { axis: 3, number: 2, other: 1 }));
}

/// Given an end, when it is on the wrong side of the centre or too near to it, then it is refused.
#[test]
fn an_end_too_near_the_centre_or_past_it_is_refused() {
    let nominal = Channel::pulse(0);
    let centre = nominal.centre;
    for low in [us(1401), us(1500), us(1600), by(us(1400), 1)] {
        assert_eq!(pulse(with!(nominal, low: low)), Some(ChannelError::Low { axis: 2, low, centre }));
    }
    for high in [us(1599), us(1500), us(1400), by(us(1600), -1)] {
        assert_eq!(pulse(with!(nominal, high: high)), Some(ChannelError::High { axis: 2, high, centre }));
    }
    assert_eq!(pulse(with!(nominal, low: us(1400), high: us(1600))), None);

    let (centre, low, high) = (POT.centre, by(POT.centre, -31), by(POT.centre, 31));
    assert_eq!(count(with!(POT, low: low)), Some(ChannelError::Low { axis: 2, low, centre }));
    assert_eq!(count(with!(POT, high: high)), Some(ChannelError::High { axis: 2, high, centre }));
    assert_eq!(count(with!(POT, low: by(low, -1), high: by(high, 1))), None);
}

/// Given the lowest reading, when it is 0 or above the low end, then it is refused.
#[test]
fn a_lowest_reading_of_0_or_above_low_is_refused() {
    let nominal = Channel::pulse(0);
    let low = nominal.low;
    for lowest in [Pulse::MIN, by(low, 1), Pulse::MAX] {
        assert_eq!(pulse(with!(nominal, lowest: lowest)), Some(ChannelError::Lowest { axis: 2, lowest, low }));
    }
    for lowest in [Pulse::from_bits(1), low] {
        assert_eq!(pulse(with!(nominal, lowest: lowest)), None, "{lowest}");
    }
}

/// Given the highest reading, when it is the greatest that there is or below the high end, then it is refused.
#[test]
fn a_highest_reading_of_the_maximum_or_below_high_is_refused() {
    let nominal = Channel::pulse(0);
    let high = nominal.high;
    for highest in [Pulse::MAX, by(high, -1), Pulse::MIN] {
        assert_eq!(pulse(with!(nominal, highest: highest)), Some(ChannelError::Highest { axis: 2, highest, high }));
    }
    for highest in [Pulse::from_bits(u16::MAX - 1), high] {
        assert_eq!(pulse(with!(nominal, highest: highest)), None, "{highest}");
    }
}

/// Given a stick that reaches the counts that a broken wire reads, when it is set up by its counts, then it is
/// refused.
#[test]
fn counts_that_a_broken_wire_reads_are_refused() {
    let bits = Count::from_bits;
    let at_the_top = count(Channel::counts(0, [400, 2000, 4095], 4095));
    assert_eq!(at_the_top, Some(ChannelError::Highest { axis: 2, highest: bits(4094), high: bits(4095) }));
    let at_the_bottom = count(Channel::counts(0, [0, 2000, 3600], 4095));
    assert_eq!(at_the_bottom, Some(ChannelError::Lowest { axis: 2, lowest: bits(1), low: bits(0) }));
    let near = Channel::counts(0, [1, 2000, 4094], 4095);
    assert_eq!((near.lowest, near.highest, count(near)), (bits(1), bits(4094), None));
    // Every order of the learnt values but the right one is refused.
    for learnt in [[400, 3600, 2000], [2000, 400, 3600], [2000, 3600, 400], [3600, 400, 2000], [3600, 2000, 400]] {
        assert!(count(Channel::counts(0, learnt, 4095)).is_some(), "{learnt:?}");
    }
}

/// Given a trim, when it is beyond 30 points, then it is refused.
#[test]
fn a_trim_beyond_30_points_is_refused() {
    let check = |trim| pulse(with!(Channel::pulse(0), trim: trim));
    let most = points(30);
    for trim in [units(most.to_bits() + 1), units(-most.to_bits() - 1), Deflection::MIN, Deflection::MAX] {
        assert_eq!(check(trim), Some(ChannelError::Trim { axis: 2, trim, most }));
    }
    assert_eq!([most, points(-30), points(0)].map(check), [None; 3]);
}

/// Given a rate, when it is not above 0, or above 100 points, then it is refused.
#[test]
fn a_rate_of_0_or_above_100_points_is_refused() {
    let check = |rate| pulse(with!(Channel::pulse(0), rate: rate));
    for rate in [units(0), units(-1), points(-60), units((1 << 14) + 1), Deflection::MIN, Deflection::MAX] {
        assert_eq!(check(rate), Some(ChannelError::Rate { axis: 2, rate }));
    }
    assert_eq!([units(1), points(60), points(100)].map(check), [None; 3]);
}

/// Given a limit, when it is not above 0, or beyond 150 points, then it is refused.
#[test]
fn a_limit_of_0_or_beyond_150_points_is_refused() {
    let below = |limit| pulse(with!(Channel::pulse(0), limit_below: Some(limit)));
    let above = |limit| pulse(with!(Channel::pulse(0), limit_above: Some(limit)));
    let (axis, most) = (2, points(150));
    for limit in [units(0), units(-1), units(most.to_bits() + 1), Deflection::MIN, Deflection::MAX] {
        assert_eq!(below(limit), Some(ChannelError::LimitBelow { axis, limit, most }));
        assert_eq!(above(limit), Some(ChannelError::LimitAbove { axis, limit, most }));
    }
    for limit in [units(1), points(40), most] {
        assert_eq!((below(limit), above(limit)), (None, None));
    }
}

/// Given a refused set-up, when its error is printed, then it names axis, field, value and remedy.
#[test]
fn a_set_up_error_names_axis_field_value_and_remedy() {
    let (axis, u) = (2, us);
    let (low, centre, high) = (Count::from_bits(1990), Count::from_bits(2000), Count::from_bits(2031));
    let pulses: [(ChannelError<Micros>, &str); 10] = [
        (ChannelError::NoChannel, "axes are without channels: at least one axis must have its channel"),
        (
            ChannelError::PastLast { axis, number: 8, channels: 8 },
            "axis 2: number is 8: there are only 8 channels, counted from 0",
        ),
        (
            ChannelError::Twice { axis, number: 4, other: 1 },
            "axis 2: number is 4: axis 1 has that channel, each axis needs its own",
        ),
        (
            ChannelError::Low { axis, low: u(1450), centre: u(1500) },
            "axis 2: low is 1450.00 us: it must be below centre, 1500.00 us, by 100.00 us or more",
        ),
        (
            ChannelError::Lowest { axis, lowest: Pulse::MIN, low: u(1000) },
            "axis 2: lowest is 0.00 us: it must be above 0 and not above low, 1000.00 us",
        ),
        (
            ChannelError::Highest { axis, highest: by(u(2000), -1), high: u(2000) },
            "axis 2: highest is 1999.94 us: it must be below 4095.94 us and not below high, 2000.00 us",
        ),
        (
            ChannelError::Trim { axis, trim: points(-31), most: points(30) },
            "axis 2: trim is -31.00 points: it must be within 30.00 points either side of centre",
        ),
        (
            ChannelError::Rate { axis, rate: points(101) },
            "axis 2: rate is 101.00 points: it must be above 0 and at most 100 points",
        ),
        (
            ChannelError::LimitBelow { axis, limit: points(151), most: points(150) },
            "axis 2: limit_below is 151.00 points: it must be above 0 and at most 150.00 points",
        ),
        (
            ChannelError::LimitAbove { axis, limit: points(0), most: points(150) },
            "axis 2: limit_above is 0.00 points: it must be above 0 and at most 150.00 points",
        ),
    ];
    for (error, text) in pulses {
        assert_eq!(error.to_string(), text);
        assert_eq!(error.axis(), (error != ChannelError::NoChannel).then_some(2));
        assert!(text.contains(error.field()), "{text}");
    }
    let counts: [(ChannelError<Counts>, &str); 2] = [
        (
            ChannelError::Low { axis, low, centre },
            "axis 2: low is 1990 counts: it must be below centre, 2000 counts, by 32 counts or more",
        ),
        (
            ChannelError::High { axis, high, centre },
            "axis 2: high is 2031 counts: it must be above centre, 2000 counts, by 32 counts or more",
        ),
    ];
    for (error, text) in counts {
        assert_eq!((error.to_string().as_str(), error.axis()), (text, Some(2)));
        assert!(text.contains(error.field()), "{text}");
    }
}

/// Given the longest values, when an error is printed, then none of it is cut off.
#[test]
fn the_longest_set_up_errors_are_printed_in_full() {
    let (reading, axis) = (Pulse::MAX, 255);
    let longest = [
        ChannelError::Highest { axis, highest: reading, high: reading },
        ChannelError::High { axis, high: reading, centre: reading },
        ChannelError::Twice { axis, number: 255, other: 255 },
        ChannelError::Trim { axis, trim: Deflection::MIN, most: Deflection::MIN },
    ];
    let ends = ["high, 4095.94 us", "by 100.00 us or more", "each axis needs its own", "either side of centre"];
    for (error, end) in longest.iter().zip(ends) {
        assert!(error.to_string().ends_with(end), "{error}");
    }
}

/// Given channels, when they are stored and read, then good ones are the same, and bad ones do not come back as
/// checked ones.
#[test]
fn stored_channels_are_checked_when_they_are_read() {
    let nominal = with!(Channel::pulse(2), limit_below: Some(points(50)), limit_above: Some(points(40)));
    let student = with!(nominal, rate: points(60), trim: points(4));
    let channels = Channels::<_, 2, 8> { axes: [Some(with!(student, reversed: true)), None] };
    let text = serde_json::to_string(&channels.check().expect("a good set-up")).expect("written");
    let read: CheckedChannels<Micros, 2, 8> = serde_json::from_str(&text).expect("read");
    assert_eq!(read, channels.check().expect("a good set-up"));

    let other: Result<CheckedChannels<Micros, 2, 2>, _> = serde_json::from_str(&text);
    assert!(other.expect_err("refused").to_string().contains("there are only 2 channels"));
    let bad = text.replacen("\"rate\":9830", "\"rate\":0", 1);
    assert_ne!(bad, text, "the rate is found: {text}");
    let refused: Result<CheckedChannels<Micros, 2, 8>, _> = serde_json::from_str(&bad);
    assert!(refused.expect_err("refused").to_string().contains("axis 0: rate is 0.00 points"));
    let unknown: Result<Channels<Micros, 2, 8>, _> = serde_json::from_str(&text.replacen("\"trim\"", "\"trimm\"", 1));
    assert!(unknown.is_err(), "an unknown field");
}
