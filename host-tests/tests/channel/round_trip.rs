//! There and back: pulses within a microsecond, counts to the count, deflections to the unit.

use handback::{Channel, Deflection, Reading, Unit};
use handback_host_tests::with;

use crate::oracle::{One, channel, count_channels, one, pulse_channels, read, us, write};

/// The largest difference in bits between a reading in range and the reading that is written back, and the number of
/// readings in range.
fn worst_way_back<U: Unit>(checked: &One<U>) -> (u16, usize) {
    let there_and_back = (0..=u16::MAX).filter_map(|bits| {
        let deflection = read(checked, Reading::from_bits(bits));
        let back = write(checked, deflection)?;
        Some(back.to_bits().abs_diff(bits))
    });
    there_and_back.fold((0, 0), |(worst, count), off| (worst.max(off), count + 1))
}

/// The same channel without rate and limits, which writing does not undo.
fn whole<U: Unit>(channel: Channel<U>) -> Channel<U> {
    with!(channel, rate: Deflection::FULL, limit_below: None, limit_above: None)
}

/// Given a pulse of 750 to 2250 us, when it goes through a nominal channel and back, then it is the same to a
/// sixteenth of a microsecond.
#[test]
fn a_nominal_pulse_comes_back_to_the_sixteenth() {
    for reversed in [false, true] {
        let checked = one(with!(Channel::pulse(0), reversed: reversed));
        assert_eq!(worst_way_back(&checked), (0, 1500 * 16 + 1), "from -150 to 150 points");
    }
}

/// Given any pulse in range, when it goes through any channel and back, then it is within a microsecond.
#[test]
fn any_pulse_comes_back_within_a_microsecond() {
    for channel in pulse_channels() {
        let (worst, in_range) = worst_way_back(&one(whole(channel)));
        assert!(worst < 16, "{worst}/16 us with {channel:?}");
        assert!(in_range > 3000, "{in_range} in range with {channel:?}");
    }
}

/// Given any count in range, when it goes through a channel and back, then it is the same count; with a travel above
/// 2^14, it is within two counts.
#[test]
fn any_count_comes_back_the_same() {
    for channel in count_channels() {
        let travel = channel.high.to_bits() - channel.centre.to_bits();
        let (worst, in_range) = worst_way_back(&one(whole(channel)));
        // Four counts of 16 bits may share a unit; a travel of 2^14 or less has a unit for every count.
        assert!(worst <= if travel <= 1 << 14 { 0 } else { 2 }, "{worst} counts with {channel:?}");
        assert!(in_range > 64, "{in_range} in range with {channel:?}");
    }
}

/// Given any deflection up to 150 points, when it goes out as a pulse and comes in again, then it is within a unit.
#[test]
fn a_deflection_comes_back_within_a_unit() {
    let checked = one(Channel::pulse(0));
    let edge = Deflection::from_points(150).to_bits();
    let off = |bits: i16| {
        let pulse = write(&checked, Deflection::from_bits(bits)).expect("a stick");
        read(&checked, pulse).to_bits().abs_diff(bits)
    };
    assert_eq!((-edge..=edge).map(off).max(), Some(1), "a sixteenth of a microsecond is 2.05 units");
}

/// Given an axis that comes in as counts, when it goes out as a pulse, then ends and centre become ends and centre.
#[test]
fn ends_and_centre_of_counts_become_those_of_pulses() {
    let (stick, craft) = (one(Channel::counts(0, [310, 2013, 3777], 4095)), one(Channel::pulse(0)));
    let sent = |counts| write(&craft, read(&stick, Reading::from_bits(counts)));
    assert_eq!([310, 2013, 3777].map(sent), [1000, 1500, 2000].map(|micros| Some(us(micros))));
}

/// Given a deflection past the range of the channel, when it is written, then it stops at the edge.
#[test]
fn a_deflection_past_the_range_stops_at_its_edge() {
    let servo = with!(Channel::pulse(0), lowest: us(1000), highest: us(2000));
    for (units, micros) in [(Deflection::from_points(101), 2000), (Deflection::MAX, 2000)] {
        assert_eq!(write(&one(servo), units), Some(us(micros)));
        assert_eq!(write(&one(with!(servo, reversed: true)), units), Some(us(3000 - micros)));
    }
    // Where the range of the channel is wider than deflections can be, the written reading can still be read.
    let steep = one(channel::<handback::Micros>([1, 22_400, 24_000, 25_600, 65_534]));
    for end in [Deflection::MAX, Deflection::from_bits(-i16::MAX)] {
        let written = write(&steep, end).expect("a stick");
        assert!(read(&steep, written) != Deflection::OUT_OF_RANGE, "{written}");
    }
}
