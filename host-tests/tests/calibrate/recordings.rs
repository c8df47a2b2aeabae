//! Recorded sticks (`data/README.md`): what the meter says of movements that nobody here made.

use std::fs;
use std::path::Path;

use handback::calibrate::{AxisAdvice, Basis, Doubt, Learnt, LearntAxis, Refusal, RestMeter, Target};
use handback::{AxisSet, Channels, Duration, Micros, Pulse};
use handback_host_tests::ms;

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

/// The thresholds of a stick that is watched alone.
fn recommended(meter: &RestMeter, target: &Target) -> Result<AxisAdvice, Refusal> {
    thresholds(resting(meter), target)
}

fn thresholds(axis: LearntAxis<Micros>, target: &Target) -> Result<AxisAdvice, Refusal> {
    let advice = Learnt { axes: [axis] }.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), target)?;
    Ok(advice.axes[0].expect("watched"))
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

/// The largest excursion lasted one sample: it is no noise, and no rate is claimed. One that comes four times in 704 frames,
/// be it by chance, is two in a row every few hours, and argues for 3 frames; a single small one for twice its size.
#[test]
fn given_recorded_channels_that_jump_for_one_sample_when_they_are_recommended_for_then_no_rate_is_claimed() {
    for (name, confirm) in [("us1", 3), ("us2", 1)] {
        let meter = rest(&column("fixedwing_channels_4hz.csv", name), microseconds);
        let noise = meter.noise().expect("a rest");
        let advice = recommended(&meter, &Target::new(ms(240))).expect("thresholds");
        assert_eq!((advice.confirm, noise.step), (confirm, 16), "{name}");
        assert_ne!(advice.basis, Basis::Rate, "{name}");
        let row = f64::from(noise.rows[usize::from(confirm) - 1]) / 80.0;
        assert!(f64::from(advice.engage.to_bits()) / 163.84 >= (2.0 * row - 0.2).max(1.0), "{name}: {advice:?}");
        // Frames that were 5 us off, a point, or more.
        assert_eq!(noise.far[13] > 1, confirm == 3, "{name}");
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
    let target = Target::new(Duration::from_ticks(16_683)); // 59.94 Hz
    let raw = ["thumbstick_a.csv", "thumbstick_b.csv", "thumbstick_c.csv"].map(|file| column(file, "raw_x"));
    let meters = raw.each_ref().map(|raw| rest(longest_rest(raw), pulse));
    assert!(meters.iter().all(|meter| meter.frames() < 13 * 60));
    let [swaying, quiet, stepping] = meters;
    let too_short = |meter| match recommended(meter, &target) {
        Err(Refusal::RestTooShort { axis: 0, frames, wanted }) => Some((frames, wanted)),
        _ => None,
    };
    assert!(too_short(&swaying).is_some_and(|(frames, wanted)| wanted > 10 * frames));
    assert!(too_short(&stepping).is_some_and(|(frames, wanted)| wanted > 3 * frames));
    // The quiet one never moved at all; how fine its steps are is known from where it was moved.
    assert_eq!(recommended(&quiet, &target), Err(Refusal::NeverChanged { axis: 0 }));
    let step = rest(&raw[1], pulse).noise().expect("a recording").step;
    let advice = thresholds(LearntAxis { step, ..resting(&quiet) }, &target).expect("thresholds");
    assert_eq!(advice.basis, Basis::Margin(Doubt::NeverChanged));
    // Two steps of a point each, and two units for rounding.
    assert_eq!(advice.confirm, 1);
    assert!((328..=330).contains(&advice.engage.to_bits()), "{advice:?}");
}
