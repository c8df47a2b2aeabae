//! What goes in comes out: pulses within a microsecond, counts to the count, deflections to the unit.

use handback::{Channel, Deflection, Reading, Unit};

use crate::oracle::{One, channel, count_channels, one, pulse_channels, read, us, write};

/// The largest difference in bits between a reading in range and what it comes back as, and how many were in range.
fn worst_way_back<U: Unit>(checked: &One<U>) -> (u16, usize) {
    let there_and_back = (0..=u16::MAX).filter_map(|bits| {
        let deflection = read(checked, Reading::from_bits(bits));
        let back = write(checked, deflection)?;
        Some(back.to_bits().abs_diff(bits))
    });
    there_and_back.fold((0, 0), |(worst, count), off| (worst.max(off), count + 1))
}

/// The same channel without what is the student's alone and is not undone.
fn whole<U: Unit>(channel: Channel<U>) -> Channel<U> {
    Channel { rate: Deflection::FULL, limit_below: None, limit_above: None, ..channel }
}

#[test]
fn given_a_pulse_of_750_to_2250_us_when_it_goes_through_a_nominal_channel_and_back_then_it_is_the_same_to_a_sixteenth()
{
    for reversed in [false, true] {
        let checked = one(Channel { reversed, ..Channel::pulse(0) });
        assert_eq!(worst_way_back(&checked), (0, 1500 * 16 + 1), "from -150 to 150 points");
    }
}

#[test]
fn given_any_pulse_in_range_when_it_goes_through_any_channel_and_back_then_it_is_within_a_microsecond() {
    for channel in pulse_channels() {
        let (worst, in_range) = worst_way_back(&one(whole(channel)));
        assert!(worst < 16, "{worst}/16 us with {channel:?}");
        assert!(in_range > 3000, "{in_range} in range with {channel:?}");
    }
}

#[test]
fn given_any_count_in_range_when_it_goes_through_and_back_then_it_is_the_same_count() {
    for channel in count_channels() {
        let travel = channel.high.to_bits() - channel.centre.to_bits();
        let (worst, in_range) = worst_way_back(&one(whole(channel)));
        // Four counts of 16 bits may share a unit; a travel of 2^14 or less has a unit for every count.
        assert!(worst <= if travel <= 1 << 14 { 0 } else { 2 }, "{worst} counts with {channel:?}");
        assert!(in_range > 64, "{in_range} in range with {channel:?}");
    }
}

#[test]
fn given_any_deflection_up_to_150_points_when_it_goes_out_as_a_pulse_and_comes_in_again_then_it_is_within_a_unit() {
    let checked = one(Channel::pulse(0));
    let edge = Deflection::from_points(150).to_bits();
    let off = |bits: i16| {
        let pulse = write(&checked, Deflection::from_bits(bits)).expect("a stick");
        read(&checked, pulse).to_bits().abs_diff(bits)
    };
    assert_eq!((-edge..=edge).map(off).max(), Some(1), "a sixteenth of a microsecond is 2.05 units");
}

#[test]
fn given_an_axis_that_comes_in_as_counts_when_it_goes_out_as_a_pulse_then_ends_and_centre_meet_ends_and_centre() {
    let (stick, craft) = (one(Channel::counts(0, [310, 2013, 3777], 4095)), one(Channel::pulse(0)));
    let sent = |counts| write(&craft, read(&stick, Reading::from_bits(counts)));
    assert_eq!([310, 2013, 3777].map(sent), [1000, 1500, 2000].map(|micros| Some(us(micros))));
}

#[test]
fn given_a_deflection_past_the_range_of_the_channel_when_it_is_written_then_it_stops_at_the_edge() {
    let servo = Channel { lowest: us(1000), highest: us(2000), ..Channel::pulse(0) };
    for (units, micros) in [(Deflection::from_points(101), 2000), (Deflection::MAX, 2000)] {
        assert_eq!(write(&one(servo), units), Some(us(micros)));
        assert_eq!(write(&one(Channel { reversed: true, ..servo }), units), Some(us(3000 - micros)));
    }
    // Where the channel's range is wider than deflections are, what comes out can still be read.
    let steep = one(channel::<handback::Micros>([1, 22_400, 24_000, 25_600, 65_534]));
    for end in [Deflection::MAX, Deflection::from_bits(-i16::MAX)] {
        let written = write(&steep, end).expect("a stick");
        assert!(read(&steep, written) != Deflection::OUT_OF_RANGE, "{written}");
    }
}
