//! Random set-ups: one that passes the check keeps every promise; one that is refused has the fault that the error
//! names.

use handback::{Channel, ChannelError, Channels, Count, Counts, Deflection, Frame, Reading};
use handback_host_tests::{points, with};
use proptest::prelude::*;

use crate::oracle::{Begins, deflection, one, read, reading, write};

/// Any values in all fields, also impossible ones.
fn any_channel() -> impl Strategy<Value = Channel<Counts>> {
    let readings = [any::<u16>(), any::<u16>(), any::<u16>(), any::<u16>(), any::<u16>()];
    (any::<u8>(), any::<bool>(), readings, any::<i16>(), any::<i16>(), any::<[Option<i16>; 2]>()).prop_map(
        |(number, reversed, readings, trim, rate, limits)| {
            let [lowest, low, centre, high, highest] = readings.map(Reading::from_bits);
            let [trim, rate] = [trim, rate].map(Deflection::from_bits);
            let [limit_below, limit_above] = limits.map(|limit| limit.map(Deflection::from_bits));
            let read = with!(Counts::CHANNEL, number, reversed, low, centre, high, lowest, highest);
            with!(read, trim, rate, limit_below, limit_above)
        },
    )
}

/// Fields that pass the check, of every size.
fn good_channel() -> impl Strategy<Value = Channel<Counts>> {
    let trim = points(30).to_bits();
    let limit = prop::option::of((1..=points(150).to_bits()).prop_map(Deflection::from_bits));
    let limits = prop::array::uniform2(limit);
    let rate = prop_oneof![Just(1 << 14), 1..=1i16 << 14];
    let travels = prop::array::uniform2(prop_oneof![32u16..2000, 32u16..16_000]);
    (any::<bool>(), 1u16..1000, 0u16..9000, travels, 0u16..9000, -trim..=trim, rate, limits).prop_map(
        |(reversed, lowest, below, [down, up], above, trim, rate, [limit_below, limit_above])| {
            let low = lowest + below;
            let (centre, high) = (low + down, low + down + up);
            let [lowest, low, centre, high, highest] =
                [lowest, low, centre, high, high + above].map(Reading::from_bits);
            let [trim, rate] = [trim, rate].map(Deflection::from_bits);
            let read = with!(Counts::CHANNEL, reversed, low, centre, high, lowest, highest);
            with!(read, trim, rate, limit_below, limit_above)
        },
    )
}

/// Whether the error is true of the channel.
fn is_so(channel: &Channel<Counts>, why: ChannelError<Counts>) -> bool {
    let Channel { low, centre, high, lowest, highest, trim, rate, limit_below, limit_above, .. } = *channel;
    let no_limit = |limit: Option<Deflection>| limit.is_some_and(|d| d <= Deflection::CENTRE || d > points(150));
    let wide = |a: Count, b: Count| i32::from(b.to_bits()) - i32::from(a.to_bits()) >= 32;
    match why {
        ChannelError::PastLast { number, channels, .. } => number == channel.number && number >= channels,
        ChannelError::Low { .. } => !wide(low, centre),
        ChannelError::High { .. } => !wide(centre, high),
        ChannelError::Lowest { .. } => lowest == Count::MIN || lowest > low,
        ChannelError::Highest { .. } => highest == Count::MAX || highest < high,
        ChannelError::Trim { .. } => trim > points(30) || trim < points(-30),
        ChannelError::Rate { .. } => rate <= Deflection::CENTRE || rate > Deflection::FULL,
        ChannelError::LimitBelow { .. } => no_limit(limit_below),
        ChannelError::LimitAbove { .. } => no_limit(limit_above),
        // One axis has its channel, and no other one has it.
        _ => false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 4000, failure_persistence: None, ..ProptestConfig::default() })]

    /// Given any fields, when they are checked, then they pass or the error is true.
    /// Rules: N1
    #[test]
    fn any_fields_pass_or_the_error_is_true(channel in any_channel()) {
        if let Err(why) = Channels::<_, 1, 16>::new([channel]).check() {
            prop_assert!(is_so(&channel, why), "{why}");
            prop_assert!(why.to_string().contains(why.field()));
        }
    }

    /// Given a good set-up with one field replaced, when it is checked, then it is refused exactly where it is wrong.
    /// Rules: N1
    #[test]
    fn a_replaced_field_is_refused_just_where_it_is_wrong(
        good in good_channel(), other in any_channel(), field in 0..7,
    ) {
        let mut channel = good;
        match field {
            0 => channel.trim = other.trim,
            1 => channel.rate = other.rate,
            2 => channel.limit_below = other.limit_below,
            3 => channel.limit_above = other.limit_above,
            4 => channel.lowest = other.lowest,
            5 => channel.highest = other.highest,
            _ => channel.number = other.number % 32,
        }
        // The check must report the first error that is true.
        let said = Channels::<_, 1, 16>::new([channel]).check().err();
        let Channel { low, centre, high, lowest, highest, trim, rate, .. } = channel;
        let [below, above] = [channel.limit_below, channel.limit_above].map(|d| d.unwrap_or(Deflection::CENTRE));
        let (axis, most) = (0, points(150));
        let all = [
            ChannelError::PastLast { axis, number: channel.number, channels: 16 },
            ChannelError::Low { axis, low, centre },
            ChannelError::High { axis, high, centre },
            ChannelError::Lowest { axis, lowest, low },
            ChannelError::Highest { axis, highest, high },
            ChannelError::Trim { axis, trim, most: points(30) },
            ChannelError::Rate { axis, rate },
            ChannelError::LimitBelow { axis, limit: below, most },
            ChannelError::LimitAbove { axis, limit: above, most },
        ];
        let first = all.into_iter().find(|&why| is_so(&channel, why));
        prop_assert_eq!(said, first);
    }

    /// Given any good set-up, when any reading is read or any deflection is written, then the result is the exact one.
    /// Rules: N1, N2, N4
    #[test]
    fn any_good_set_up_converts_exactly(
        channel in good_channel(), bits in any::<u16>(), out in -i16::MAX..=i16::MAX,
    ) {
        let checked = one(channel);
        let near = channel.low.to_bits() + bits % (channel.high.to_bits() - channel.low.to_bits() + 1);
        for r in [bits, near].map(Reading::from_bits) {
            prop_assert_eq!(read(&checked, r), deflection(&channel, r), "{}", r);
        }
        let d = Deflection::from_bits(out);
        prop_assert_eq!(write(&checked, d).map(Reading::to_bits), Some(reading(&channel, d)));
    }

    /// Given any good set-up, when the stick moves one way, then the deflection never goes the other way.
    #[test]
    fn the_deflection_follows_the_direction_of_the_stick(
        channel in good_channel(), at in any::<u16>(), step in 1u16..2000,
    ) {
        let checked = one(channel);
        let range = channel.highest.to_bits() - channel.lowest.to_bits();
        let from = channel.lowest.to_bits() + at % (range + 1);
        let to = from.saturating_add(step).min(channel.highest.to_bits());
        let [a, b] = [from, to].map(|bits| read(&checked, Reading::from_bits(bits)));
        if a != Deflection::OUT_OF_RANGE && b != Deflection::OUT_OF_RANGE {
            prop_assert!(if channel.reversed { b <= a } else { a <= b }, "{a} then {b}");
        }
    }

    /// Given any good set-up, when the stick is centred, then its deflection is its trim.
    #[test]
    fn a_centred_stick_reads_as_its_trim(channel in good_channel()) {
        prop_assert_eq!(read(&one(channel), channel.centre), channel.trim);
    }

    /// Given any good set-up with limits, when the stick moves, then no deflection but the mark is past them.
    #[test]
    fn only_the_mark_is_past_a_limit(
        channel in good_channel(), bits in any::<u16>(),
    ) {
        let at = read(&one(channel), Reading::from_bits(bits));
        let way = i32::from(at.to_bits()) - i32::from(channel.trim.to_bits());
        if at != Deflection::OUT_OF_RANGE {
            prop_assert!(channel.limit_below.is_none_or(|limit| way >= -i32::from(limit.to_bits())), "{at}");
            prop_assert!(channel.limit_above.is_none_or(|limit| way <= i32::from(limit.to_bits())), "{at}");
        }
    }

    /// Given any order of channels, when a train is read and written, then it is the same.
    /// Rules: N1
    #[test]
    fn any_order_of_channels_reads_and_writes_the_same_train(
        order in Just([0u8, 1, 2, 3, 4, 5, 6, 7]).prop_shuffle(), micros in prop::array::uniform8(750u32..=2250),
    ) {
        let numbers: [u8; 5] = std::array::from_fn(|axis| order[axis]);
        let channels = Channels::<_, 5, 8>::new(numbers.map(Channel::pulse)).check().expect("a good set-up");
        let train = micros.map(handback::Pulse::from_micros);
        let frame: Frame<5> = channels.frame(&train);
        prop_assert_eq!(channels.readings(&frame, train), Some(train));
        for (axis, number) in numbers.into_iter().enumerate() {
            let alone = read(&one(Channel::pulse(0)), train[usize::from(number)]);
            prop_assert_eq!(frame.axes()[axis], alone);
        }
    }
}
