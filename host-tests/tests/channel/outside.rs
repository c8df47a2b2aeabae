//! Pulses against common practice and floats, and a recording that nobody here made.

use std::fs;
use std::path::Path;

use handback::{AxisRule, Channel, Channels, Deflection, Pulse};
use handback_host_tests::{points, with};

use crate::oracle::{one, read, us, write};

/// Given a nominal channel, when a pulse is read, then a microsecond is a fifth of a point.
#[test]
fn a_microsecond_is_a_fifth_of_a_point() {
    // Common practice, no source: 1000 to 2000 us are -100 to 100 points, so 2 points are 10 us and 8 points 40 us.
    let pulses = one(Channel::pulse(0));
    for (micros, off) in [(1000, -100), (1490, -2), (1500, 0), (1510, 2), (1540, 8), (2000, 100), (2125, 125)] {
        assert_eq!(read(&pulses, us(micros)), points(off), "{micros} us");
        assert_eq!(write(&pulses, points(off)).map(Pulse::to_micros), Some(u16::try_from(micros).expect("small")));
    }
}

/// Given the default thresholds in microseconds, when they are read, then they are the engine's defaults to the unit.
#[test]
fn thresholds_in_microseconds_are_the_defaults_to_the_unit() {
    // In floats (IEEE 754 double precision): 2 * 163.84 is 327.68 units, 8 * 163.84 is 1310.72.
    let pulses = one(Channel::pulse(0));
    let threshold = |micros| read(&pulses, us(micros));
    assert_eq!((threshold(1510).to_bits(), threshold(1540).to_bits()), (328, 1311));
    assert_eq!(threshold(1510), AxisRule::sprung().engage);
    assert_eq!(threshold(1540), AxisRule::unsprung(points(-100)).engage);
}

/// Given a common train of eight channels, when it is read, then it is eight axes.
#[test]
fn a_common_train_of_eight_channels_is_eight_axes() {
    // Common practice, no source: 8 channels of 1000, 1500 or 2000 us.
    let train = [1500, 1500, 1000, 1500, 2000, 1000, 1500, 2000].map(us);
    let frame = Channels::<_, 8, 8>::pulses().check().expect("a good set-up").frame(&train);
    assert_eq!(*frame.axes(), [0, 0, -100, 0, 100, -100, 0, 100].map(points));
}

/// Given recorded channels, when they are read, then they are within half a unit of the floats; when they are written,
/// then they are the same as before.
#[test]
fn recorded_channels_agree_with_floats_both_ways() {
    // Recording: `data/fixedwing_channels_4hz.csv`, provenance in `data/README.md`. Floats: IEEE 754 double precision.
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/fixedwing_channels_4hz.csv");
    let text = fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    let channels = Channels::<_, 5, 5>::pulses().check().expect("a good set-up");
    let mut samples = 0;
    for line in text.lines().skip(1) {
        let columns: Vec<&str> = line.split(',').collect();
        let train: [u32; 5] = std::array::from_fn(|n| columns[6 + n].parse().expect("a pulse width"));
        let frame = channels.frame(&train.map(us));
        for (micros, at) in train.iter().zip(frame.axes()) {
            let exact = (f64::from(*micros) - 1500.0) / 500.0 * 16384.0;
            assert!((f64::from(at.to_bits()) - exact).abs() <= 0.5, "{micros} us are {exact}, not {at}");
        }
        assert_eq!(channels.readings(&frame, [Pulse::MIN; 5]), Some(train.map(us)));
        samples += 1;
    }
    assert_eq!(samples, 798);
}

/// Given any pulse of whole microseconds, when floats read it, then they agree.
#[test]
fn pulses_of_whole_microseconds_agree_with_floats() {
    // In floats (IEEE 754 double precision); `f64::round` rounds halves away from zero.
    let odd = with!(Channel::pulse(0), low: us(1087), centre: us(1493), high: us(1971));
    for micros in 750..=2250u32 {
        let way = f64::from(micros) - 1493.0;
        let exact = way / if way < 0.0 { 406.0 } else { 478.0 } * 16384.0;
        let bits = f64::from(read(&one(odd), us(micros)).to_bits());
        assert!((bits - exact.round()).abs() < f64::EPSILON, "{micros} us: {bits} for {exact}");
    }
    assert_eq!(read(&one(odd), us(681)), Deflection::OUT_OF_RANGE, "-200 points");
}
