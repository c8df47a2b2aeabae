//! Random channels and random readings: pulse widths and counts to deflections and back (N2, N4).

use handback::{Channel, Channels, Counts, Deflection, Frame, Micros, Reading, Unit};
use outcome_digest::Crc32;

use crate::random::Random;

/// The readings of each channel.
const READINGS: u32 = 64;

/// The results of the channels so far.
#[derive(Debug, Default)]
pub struct Read {
    /// The number of readings.
    pub readings: u32,
    /// The number of readings that were out of range.
    pub out_of_range: u32,
    digest: Crc32,
}

/// Reads and writes this many random channels of each unit, the numbers being the seeds.
pub fn read(channels: u32) -> Read {
    let mut read = Read::default();
    for number in 0..channels {
        let random = &mut Random::new(number);
        let pulse = any(Channel::<Micros>::pulse(0), 1_600, random);
        read.channel(pulse, random);
        let count = any(Channel::<Counts>::counts(0, [400, 2_000, 3_600], 4_095), 32, random);
        read.channel(count, random);
    }
    read
}

/// This channel with other ends, direction, trim, rate and limits. A travel is `least` or longer.
fn any<U>(mut channel: Channel<U>, least: u32, random: &mut Random) -> Channel<U> {
    let mut place = 1 + random.below(8_000);
    let mut next = |by: u32| {
        place += by;
        Reading::from_bits(u16::try_from(place).unwrap_or(u16::MAX - 1))
    };
    channel.lowest = next(0);
    channel.low = next(random.below(4_000));
    channel.centre = next(least + random.below(12_000));
    channel.high = next(least + random.below(12_000));
    channel.highest = next(random.below(4_000));
    channel.reversed = random.one_in(2);
    channel.trim = Deflection::from_bits(random.within(-4_915, 4_915));
    channel.rate = Deflection::from_bits(random.one_of([1, 8_192, 9_830, 16_383, 16_384]));
    let mut limit = || random.one_in(3).then(|| Deflection::from_bits(random.within(1, 24_576)));
    (channel.limit_below, channel.limit_above) = (limit(), limit());
    channel
}

/// A number between these, or in one of four cases any number.
fn some(lowest: u16, highest: u16, random: &mut Random) -> u16 {
    let (from, to) = if random.one_in(4) { (0, u16::MAX) } else { (lowest, highest) };
    let by = random.below(u32::from(to.saturating_sub(from)) + 1);
    from.saturating_add(u16::try_from(by).unwrap_or(u16::MAX))
}

impl Read {
    /// The digest: the CRC-32 of every deflection and of every reading that it makes, least significant byte first.
    pub fn digest(&self) -> u32 {
        self.digest.value()
    }

    fn channel<U: Unit>(&mut self, channel: Channel<U>, random: &mut Random) {
        let Ok(channels) = Channels::<U, 1, 1>::new([channel]).check() else { return };
        for _ in 0..READINGS {
            let reading = Reading::from_bits(some(channel.lowest.to_bits(), channel.highest.to_bits(), random));
            let frame = channels.frame(&[reading]);
            let written = channels.readings(&frame, [Reading::MIN]);
            self.readings += 1;
            self.out_of_range += u32::from(written.is_none());
            self.add(frame, written.map(|[reading]| reading));
        }
    }

    fn add<U: Unit>(&mut self, frame: Frame<1>, written: Option<Reading<U>>) {
        let [deflection] = *frame.axes();
        self.digest.add(&deflection.to_bits().to_le_bytes());
        self.digest.add(&written.map_or(0, Reading::to_bits).to_le_bytes());
    }
}
