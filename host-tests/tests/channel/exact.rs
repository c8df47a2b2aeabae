//! Every reading against exact fractions: the nearest unit, halves away from zero, rounded once.

use handback::{Channel, Counts, Deflection, Reading, Unit};
use handback_host_tests::with;

use crate::oracle::{channel, count_channels, deflection, one, pulse_channels, read, reading, us, write};

/// Checks every reading and every deflection.
fn agrees_everywhere<U: Unit>(channel: &Channel<U>) {
    let checked = one(*channel);
    for bits in 0..=u16::MAX {
        let r = Reading::from_bits(bits);
        assert_eq!(read(&checked, r), deflection(channel, r), "{r} with {channel:?}");
    }
    for bits in -i16::MAX..=i16::MAX {
        let d = Deflection::from_bits(bits);
        let written = write(&checked, d).map(Reading::to_bits);
        assert_eq!(written, Some(reading(channel, d)), "{d} with {channel:?}");
    }
}

/// Given any pulse width, when it is read, then the result is the nearest deflection. Given any deflection, when it is
/// written, then it is the nearest pulse.
/// Rules: N1, N2, N4
#[test]
fn pulse_widths_and_deflections_convert_to_the_nearest() {
    for channel in pulse_channels() {
        agrees_everywhere(&channel);
    }
}

/// Given any count, when it is read, then the result is the nearest deflection. Given any deflection, when it is
/// written, then it is the nearest count.
/// Rules: N1, N2, N4
#[test]
fn counts_and_deflections_convert_to_the_nearest() {
    for channel in count_channels() {
        agrees_everywhere(&channel);
    }
}

/// Given every possible travel, when readings along it are read, then each result is the nearest deflection.
/// Rules: N1, N2, N4
#[test]
fn readings_of_every_travel_are_the_nearest_deflections() {
    // The rounding of the slope depends on travel and rate: all travels are tried, with rates that make it worse.
    let rates = [1 << 14, (1 << 14) - 1, 9_831, 5_003, 3, 1].map(Deflection::from_bits);
    for travel in 32..=65_000u16 {
        let rate = rates[usize::from(travel) % rates.len()];
        let pot: Channel<handback::Counts> = with!(channel([1, 1, 33, 33 + travel, 65_534]), rate: rate);
        let checked = one(pot);
        let twice = travel.saturating_mul(2);
        let along = (0..40).map(|n| u16::try_from(u32::from(twice) * n / 39).expect("within twice the travel"));
        let about = [travel / 3, travel / 2, travel, twice];
        let about = about.iter().flat_map(|&at| [-2, -1, 0, 1, 2].map(|by| at.saturating_add_signed(by)));
        for distance in along.chain(about) {
            let r = Reading::from_bits(distance.saturating_add(33));
            assert_eq!(read(&checked, r), deflection(&pot, r), "{r} with {pot:?}");
        }
    }
}

/// Given a reading half way between two deflections, when it is read, then it is rounded away from the centre.
#[test]
fn a_reading_half_way_rounds_away_from_the_centre() {
    // 2^15 counts of travel for 2^14 units: every odd count is half way.
    let pot = channel::<Counts>([1, 1, 32_766, 65_534, 65_534]);
    let high = one(with!(pot, low: Reading::from_bits(2)));
    assert_eq!(high.channels().axes[0].map(|c| c.high.to_bits() - c.centre.to_bits()), Some(1 << 15));
    let bits = |reading| read(&high, Reading::from_bits(reading)).to_bits();
    assert_eq!([32_766, 32_767, 32_768, 32_769].map(bits), [0, 1, 1, 2]);
    let low = one(with!(pot, centre: Reading::from_bits(32_769)));
    let bits = |reading| read(&low, Reading::from_bits(reading)).to_bits();
    assert_eq!([32_769, 32_768, 32_767, 32_766].map(bits), [0, -1, -1, -2]);
}

/// Given a deflection half way between two pulses, when it is written, then it is rounded away from the centre.
#[test]
fn a_deflection_half_way_rounds_away_from_the_centre() {
    // 512 us of travel are 2^13 steps: every odd unit is half way.
    let narrow = one(with!(Channel::pulse(0), low: us(988), high: us(2012)));
    let bits = |units| write(&narrow, Deflection::from_bits(units)).map(|pulse| i32::from(pulse.to_bits()) - 24_000);
    assert_eq!([-3, -2, -1, 0, 1, 2, 3].map(bits), [-2, -1, -1, 0, 1, 1, 2].map(Some));
}
