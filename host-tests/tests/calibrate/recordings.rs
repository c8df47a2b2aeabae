//! Recorded sticks (`data/README.md`): what the meter says of movements that nobody here made.

use std::fs;
use std::path::Path;

use handback::calibrate::{Learnt, Refusal, RestMeter, Wish};
use handback::{AxisSet, Channels, Deflection, Duration, Pulse};
use handback_host_tests::{ms, points};

use crate::gimbal::{pulse, resting, whole};

/// A column of a recording.
fn column(file: &str, name: &str) -> Vec<f64> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(file);
    let text = fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    let mut lines = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let place =
        lines.next().expect("a head line").iter().position(|&column| column == name).expect("the column is there");
    lines.map(|line| line[place].parse().unwrap_or_else(|why| panic!("{file}: {line:?}: {why}"))).collect()
}

/// A recorded column as the rest of a stick, each value made a pulse.
fn rest(values: &[f64], to_pulse: impl Fn(f64) -> Pulse) -> RestMeter {
    let mut meter = RestMeter::new();
    for &value in values {
        meter.take(to_pulse(value).to_bits());
    }
    meter
}

fn microseconds(us: f64) -> Pulse {
    Pulse::from_micros(whole(us).into())
}

/// Confirm and engage for a stick that is watched alone.
fn recommended(meter: &RestMeter, wish: &Wish) -> Result<(u8, Deflection), Refusal> {
    let learnt = Learnt { axes: [resting(meter)] };
    let advice = learnt.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), wish)?;
    Ok(advice.axes[0].map(|axis| (axis.confirm, axis.engage)).expect("watched"))
}

#[test]
fn given_recorded_channels_at_rest_when_they_are_measured_then_it_is_what_floats_make_of_them() {
    // All but the throttle, which was moved.
    for name in ["us1", "us2", "us4", "us8"] {
        let micros = column("fixedwing_channels_4hz.csv", name);
        let meter = rest(&micros, microseconds);
        let noise = meter.noise().expect("798 samples");
        let counted = &micros[64..64 + noise.frames as usize];
        let n = f64::from(noise.frames);
        let mean = counted.iter().sum::<f64>() / n;
        let variance = counted.iter().map(|us| (us - mean).powi(2)).sum::<f64>() / (n - 1.0);
        // A 256th of a step, of which a microsecond has 16.
        assert!((mean - f64::from(noise.mean) / 4096.0).abs() < 1.0 / 4096.0 + 1e-6, "{name}: {mean}");
        assert!((variance - f64::from(noise.variance) / 65_536.0).abs() < 1.0 / 65_536.0 + 1e-6, "{name}: {variance}");
        assert_eq!((noise.frames, meter.strayed()), (704, false));
        println!("{name}: {mean:.2} us, deviation {:.3} points, rows {:?} steps", variance.sqrt() / 5.0, noise.rows);
    }
    assert!(rest(&column("fixedwing_channels_4hz.csv", "us3"), microseconds).strayed(), "the throttle was moved");
}

/// The largest excursion lasted one sample: it is no noise, and argues for `confirm` of 2. One that comes four times in 704
/// frames, be it by chance, is two in a row every few hours, and argues for 3.
#[test]
fn given_recorded_channels_that_jump_for_one_sample_when_they_are_recommended_for_then_more_frames_are_asked_for() {
    for (name, confirm) in [("us1", 3), ("us2", 2)] {
        let meter = rest(&column("fixedwing_channels_4hz.csv", name), microseconds);
        assert_eq!(recommended(&meter, &Wish::new(ms(240))), Ok((confirm, points(1))), "{name}");
        // Frames that were 5 us off, a point, or more.
        assert_eq!(meter.noise().expect("a rest").far[13] > 1, confirm == 3, "{name}");
    }
}

/// The longest stretch of a thumbstick that nobody moved by more than 2 points from sample to sample, near its centre.
fn longest_rest(raw: &[f64]) -> &[f64] {
    let rests = raw.split(|x| x.abs() > 20.0).flat_map(|near| near.chunk_by(|a, b| (a - b).abs() <= 2.0));
    rests.max_by_key(|rest| rest.len()).expect("a rest")
}

/// A rest of a stick that sways, or that stands elsewhere now and then, is told from a quiet one; none lasts 13 seconds.
#[test]
fn given_recorded_thumbsticks_at_rest_when_they_are_short_then_only_the_quiet_one_is_recommended_for() {
    let wish = Wish::new(Duration::from_ticks(16_683)); // 59.94 Hz
    let raw = ["thumbstick_a.csv", "thumbstick_b.csv", "thumbstick_c.csv"].map(|file| column(file, "raw_x"));
    let meters = raw.each_ref().map(|raw| rest(longest_rest(raw), pulse));
    assert!(meters.iter().all(|meter| meter.frames() < 13 * 60));
    let [swaying, quiet, stepping] = meters;
    let too_short = |meter| match recommended(meter, &wish) {
        Err(Refusal::RestTooShort { axis: 0, frames, wanted }) => Some((frames, wanted)),
        _ => None,
    };
    assert!(too_short(&swaying).is_some_and(|(frames, wanted)| wanted > 10 * frames));
    assert!(too_short(&stepping).is_some_and(|(frames, wanted)| wanted > 3 * frames));
    assert_eq!(recommended(&quiet, &wish), Ok((1, points(1))));
}
