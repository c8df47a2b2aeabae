//! Random set-ups: what passes the check keeps every promise, and what does not is refused for a reason that is there.

use handback::{Channel, ChannelError, Channels, Count, Deflection, Frame, Reading};
use handback_host_tests::points;
use proptest::prelude::*;

use crate::oracle::{deflection, one, read, reading, write};

/// Any fields at all, also those that make no sense.
fn any_channel() -> impl Strategy<Value = Channel<handback::Counts>> {
    let readings = [any::<u16>(), any::<u16>(), any::<u16>(), any::<u16>(), any::<u16>()];
    (any::<u8>(), any::<bool>(), readings, any::<i16>(), any::<i16>(), any::<[Option<i16>; 2]>()).prop_map(
        |(number, reversed, readings, trim, rate, limits)| {
            let [lowest, low, centre, high, highest] = readings.map(Reading::from_bits);
            let [trim, rate] = [trim, rate].map(Deflection::from_bits);
            let [limit_below, limit_above] = limits.map(|limit| limit.map(Deflection::from_bits));
            Channel { number, reversed, low, centre, high, lowest, highest, trim, rate, limit_below, limit_above }
        },
    )
}

/// Fields that pass the check, of every size.
fn good_channel() -> impl Strategy<Value = Channel<handback::Counts>> {
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
            Channel { number: 0, reversed, low, centre, high, lowest, highest, trim, rate, limit_below, limit_above }
        },
    )
}

/// Whether the error tells the truth about the channel.
fn is_so(channel: &Channel<handback::Counts>, why: ChannelError<handback::Counts>) -> bool {
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

    /// Rules: N1
    #[test]
    fn given_any_fields_at_all_when_they_are_checked_then_they_pass_or_the_error_is_true(channel in any_channel()) {
        if let Err(why) = Channels::<_, 1, 16>::new([channel]).check() {
            prop_assert!(is_so(&channel, why), "{why}");
            prop_assert!(why.to_string().contains(why.field()));
        }
    }

    /// Rules: N1
    #[test]
    fn given_any_field_of_a_good_set_up_replaced_when_it_is_checked_then_it_is_refused_just_where_it_is_wrong(
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
        // Of every error that could be, each is either said or untrue.
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

    /// Rules: N1, N2, N4
    #[test]
    fn given_any_good_set_up_when_any_reading_or_deflection_goes_through_then_it_is_the_exact_one(
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

    #[test]
    fn given_any_good_set_up_when_the_stick_moves_one_way_then_the_deflection_never_goes_the_other(
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

    #[test]
    fn given_any_good_set_up_when_the_stick_is_centred_then_its_deflection_is_its_trim(channel in good_channel()) {
        prop_assert_eq!(read(&one(channel), channel.centre), channel.trim);
    }

    #[test]
    fn given_any_good_set_up_with_limits_when_the_stick_moves_then_nothing_but_the_mark_is_past_them(
        channel in good_channel(), bits in any::<u16>(),
    ) {
        let at = read(&one(channel), Reading::from_bits(bits));
        let way = i32::from(at.to_bits()) - i32::from(channel.trim.to_bits());
        if at != Deflection::OUT_OF_RANGE {
            prop_assert!(channel.limit_below.is_none_or(|limit| way >= -i32::from(limit.to_bits())), "{at}");
            prop_assert!(channel.limit_above.is_none_or(|limit| way <= i32::from(limit.to_bits())), "{at}");
        }
    }

    /// Rules: N1
    #[test]
    fn given_any_order_of_channels_when_a_train_goes_through_and_back_then_it_is_the_same(
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
