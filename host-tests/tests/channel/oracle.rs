//! The deflection and the reading that must come out, in exact fractions of whole numbers; short names for set-ups of
//! one axis.

use handback::{Channel, Channels, CheckedChannels, Counts, Deflection, Frame, Micros, Pulse, Reading, Unit};
use handback_host_tests::with;

/// One axis on one channel.
pub(crate) type One<U> = CheckedChannels<U, 1, 1>;

/// The set-up of one axis, checked.
pub(crate) fn one<U: Unit>(channel: Channel<U>) -> One<U> {
    Channels::new([with!(channel, number: 0)]).check().unwrap_or_else(|why| panic!("{why}"))
}

/// The deflection that one axis reads.
pub(crate) fn read<U: Unit>(one: &One<U>, reading: Reading<U>) -> Deflection {
    one.frame(&[reading]).axes()[0]
}

/// The reading that one axis writes, whatever was on its channel before.
pub(crate) fn write<U: Unit>(one: &One<U>, deflection: Deflection) -> Option<Reading<U>> {
    one.readings(&Frame::new([deflection]), [Reading::MIN]).map(|[reading]| reading)
}

/// A pulse width in microseconds.
pub(crate) fn us(micros: u32) -> Pulse {
    Pulse::from_micros(micros)
}

/// A unit with a channel to begin with.
pub(crate) trait Begins: Sized {
    const CHANNEL: Channel<Self>;
}

impl Begins for Micros {
    const CHANNEL: Channel<Self> = Channel::pulse(0);
}

impl Begins for Counts {
    const CHANNEL: Channel<Self> = Channel::counts(0, [400, 2000, 3600], 4095);
}

/// A channel whose readings have these bits, with all of its travel.
pub(crate) fn channel<U: Begins>([lowest, low, centre, high, highest]: [u16; 5]) -> Channel<U> {
    let [lowest, low, centre, high, highest] = [lowest, low, centre, high, highest].map(Reading::from_bits);
    with!(U::CHANNEL, low, centre, high, lowest, highest)
}

/// The channel with the same limit on both sides.
pub(crate) fn limited<U>(channel: Channel<U>, limit: Deflection) -> Channel<U> {
    with!(channel, limit_below: Some(limit), limit_above: Some(limit))
}

/// numerator / denominator to the nearest whole number, halves away from zero.
pub(crate) fn nearest(numerator: i64, denominator: i64) -> i64 {
    assert!(denominator > 0);
    let size = (2 * numerator.abs() + denominator) / (2 * denominator);
    size * numerator.signum()
}

/// A number of units as a deflection, if one can be written and it is not the mark.
fn written(units: i64) -> Option<Deflection> {
    i16::try_from(units).ok().map(Deflection::from_bits).filter(|&d| d != Deflection::MIN)
}

/// The deflection of a reading as the documentation of `Channels` defines it, or the mark.
pub(crate) fn deflection<U: Unit>(channel: &Channel<U>, reading: Reading<U>) -> Deflection {
    stick(channel, reading).unwrap_or(Deflection::OUT_OF_RANGE)
}

fn stick<U: Unit>(channel: &Channel<U>, reading: Reading<U>) -> Option<Deflection> {
    let bits = |reading: Reading<U>| i64::from(reading.to_bits());
    let [low, centre, high] = [channel.low, channel.centre, channel.high].map(bits);
    if !(bits(channel.lowest)..=bits(channel.highest)).contains(&bits(reading)) {
        return None;
    }
    let way = bits(reading) - centre;
    let travel = if way < 0 { centre - low } else { high - centre };
    if way.abs() >= 2 * travel {
        return None;
    }
    let [below, above] = [channel.limit_below, channel.limit_above]
        .map(|limit| limit.map_or(i64::MAX, |limit| i64::from(limit.to_bits())));
    let thrown = nearest(way * i64::from(channel.rate.to_bits()), travel);
    let directed = if channel.reversed { -thrown } else { thrown };
    written(directed.clamp(-below, above) + i64::from(channel.trim.to_bits()))
}

/// The bits of the reading of a deflection, clamped to the range of the channel.
pub(crate) fn reading<U: Unit>(channel: &Channel<U>, deflection: Deflection) -> u16 {
    let bits = |reading: Reading<U>| i64::from(reading.to_bits());
    let [low, centre, high] = [channel.low, channel.centre, channel.high].map(bits);
    let way = i64::from(deflection.to_bits()) - i64::from(channel.trim.to_bits());
    let way = if channel.reversed { -way } else { way };
    let travel = if way < 0 { centre - low } else { high - centre };
    let within_two_travels = centre + nearest(way * travel, 1 << 14).clamp(1 - 2 * travel, 2 * travel - 1);
    let in_range = within_two_travels.clamp(bits(channel.lowest), bits(channel.highest));
    u16::try_from(in_range).expect("a reading")
}

/// Set-ups of pulses that differ in every field.
pub(crate) fn pulse_channels() -> Vec<Channel<Micros>> {
    let nominal = Channel::pulse(0);
    let odd = with!(nominal, low: us(1113), centre: us(1487), high: us(1949));
    let widest = channel([1, 1, 32_768, 65_534, 65_534]);
    let steepest = channel([1, 22_400, 24_000, 25_600, 65_534]);
    let points = Deflection::from_points;
    vec![
        nominal,
        with!(nominal, reversed: true),
        odd,
        with!(odd, reversed: true, trim: points(-13)),
        with!(nominal, trim: points(30)),
        with!(odd, trim: points(-30), rate: points(60)),
        with!(nominal, limit_below: Some(points(40))),
        with!(nominal, limit_above: Some(points(40)), reversed: true),
        with!(limited(odd, points(55)), rate: points(70), trim: points(7), reversed: true),
        with!(limited(nominal, Deflection::from_bits(1)), rate: Deflection::from_bits(1)),
        with!(steepest, rate: Deflection::from_bits((1 << 14) - 1)),
        widest,
        with!(widest, trim: points(30)),
        steepest,
        with!(steepest, trim: points(-30), reversed: true),
        channel([1, 1, 1601, 65_534, 65_534]),
        channel([1, 1, 63_934, 65_534, 65_534]),
    ]
}

/// Set-ups of counts of 8 to 16 bits.
pub(crate) fn count_channels() -> Vec<Channel<Counts>> {
    let twelve = Channel::counts(0, [310, 2013, 3777], 4095);
    let points = Deflection::from_points;
    vec![
        twelve,
        with!(twelve, reversed: true, trim: points(5)),
        with!(limited(twelve, points(30)), rate: points(50), trim: points(-11)),
        channel([1, 1, 2048, 4094, 4094]),
        Channel::counts(0, [100, 500, 930], 1023),
        Channel::counts(0, [20, 52, 84], 255),
        Channel::counts(0, [6000, 33_000, 60_000], 65_535),
        channel([1, 1, 33, 65_534, 65_534]),
    ]
}
