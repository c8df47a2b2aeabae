//! Pulses and counts: their units, their edges, and how people read them.

use std::mem::size_of;

use handback::{Channel, ChannelError, CheckedChannels, Count, Micros, Pulse};

#[test]
fn given_microseconds_when_they_are_made_a_pulse_then_they_come_back_and_from_4096_on_they_saturate() {
    for micros in 0..=4095u16 {
        let pulse = Pulse::from_micros(micros.into());
        assert_eq!((pulse.to_bits(), pulse.to_micros()), (micros * 16, micros));
    }
    for micros in [4096, 65_536, 65_536 + 1500, u32::MAX] {
        assert_eq!(Pulse::from_micros(micros), Pulse::MAX, "{micros} us");
    }
}

#[test]
fn given_any_pulse_when_it_is_rounded_to_microseconds_then_it_is_the_nearest_one_halves_up() {
    for bits in 0..=u16::MAX {
        let nearest = (u32::from(bits) * 2 + 16) / 32;
        assert_eq!(u32::from(Pulse::from_bits(bits).to_micros()), nearest, "{bits}/16 us");
    }
}

#[test]
fn given_any_reading_when_people_read_it_then_it_is_the_nearest_hundredth_and_an_error_says_the_same() {
    for bits in 0..=u16::MAX {
        let hundredths = (u32::from(bits) * 200 + 16) / 32;
        let pulse = Pulse::from_bits(bits);
        assert_eq!(pulse.to_string(), format!("{}.{:02} us", hundredths / 100, hundredths % 100));
        let why = ChannelError::Lowest { axis: 0, lowest: pulse, low: Channel::pulse(0).low };
        assert!(why.to_string().starts_with(&format!("axis 0: lowest is {pulse}: ")), "{why}");
        assert_eq!(Count::from_bits(bits).to_string(), format!("{bits} counts"));
    }
}

/// Rules: N1
#[test]
fn given_channels_when_they_are_measured_then_they_are_as_large_as_is_said() {
    assert_eq!((size_of::<Pulse>(), size_of::<Count>()), (2, 2));
    // They stay in flash where they are a `static`.
    let [four, eight] = [size_of::<CheckedChannels<Micros, 4, 8>>(), size_of::<CheckedChannels<Micros, 8, 8>>()];
    println!("checked channels: {four} bytes for 4 axes, {eight} for 8");
    assert_eq!((four, eight - four), (208, 208), "52 bytes for an axis");
}
