//! Pulses and counts: their units, their range, and their text.

use std::mem::size_of;

use handback::{Channel, ChannelError, CheckedChannels, Count, Micros, Pulse};

/// Given microseconds, when they are made a pulse, then the pulse gives them back; from 4096 on they saturate.
#[test]
fn microseconds_saturate_from_4096_on() {
    for micros in 0..=4095u16 {
        let pulse = Pulse::from_micros(micros.into());
        assert_eq!((pulse.to_bits(), pulse.to_micros()), (micros * 16, micros));
    }
    for micros in [4096, 65_536, 65_536 + 1500, u32::MAX] {
        assert_eq!(Pulse::from_micros(micros), Pulse::MAX, "{micros} us");
    }
}

/// Given any pulse, when it is rounded to microseconds, then it is the nearest one, halves up.
#[test]
fn a_pulse_rounds_to_microseconds_halves_up() {
    for bits in 0..=u16::MAX {
        let nearest = (u32::from(bits) * 2 + 16) / 32;
        assert_eq!(u32::from(Pulse::from_bits(bits).to_micros()), nearest, "{bits}/16 us");
    }
}

/// Given any reading, when it is printed, then it is rounded to the nearest hundredth of a microsecond, and an error
/// prints the same; counts are printed as they are.
#[test]
fn a_reading_prints_to_the_nearest_hundredth() {
    for bits in 0..=u16::MAX {
        let hundredths = (u32::from(bits) * 200 + 16) / 32;
        let pulse = Pulse::from_bits(bits);
        assert_eq!(pulse.to_string(), format!("{}.{:02} us", hundredths / 100, hundredths % 100));
        let why = ChannelError::Lowest { axis: 0, lowest: pulse, low: Channel::pulse(0).low };
        assert!(why.to_string().starts_with(&format!("axis 0: lowest is {pulse}: ")), "{why}");
        assert_eq!(Count::from_bits(bits).to_string(), format!("{bits} counts"));
    }
}

/// Given channels, when their size is measured, then it is as documented.
/// Rules: N1
#[test]
fn channels_are_as_large_as_documented() {
    assert_eq!((size_of::<Pulse>(), size_of::<Count>()), (2, 2));
    // A `static` set-up stays in flash.
    let [four, eight] = [size_of::<CheckedChannels<Micros, 4, 8>>(), size_of::<CheckedChannels<Micros, 8, 8>>()];
    println!("checked channels: {four} bytes for 4 axes, {eight} for 8");
    assert_eq!((four, eight - four), (208, 208), "52 bytes for an axis");
}
