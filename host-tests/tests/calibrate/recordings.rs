//! Recorded sticks (`data/README.md`): what the meter measures of movements that nobody here made.

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

/// A recorded column taken as the rest of a stick; `to_pulse` turns each value into a pulse.
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

/// The thresholds of a stick that is the only one watched.
fn recommended(meter: &RestMeter, target: &Target) -> Result<AxisAdvice, Refusal> {
    thresholds(resting(meter), target)
}

fn thresholds(axis: LearntAxis<Micros>, target: &Target) -> Result<AxisAdvice, Refusal> {
    let advice = Learnt { axes: [axis] }.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), target)?;
    Ok(advice.axes[0].expect("watched"))
}

/// Given recorded channels at rest, when they are measured, then mean and variance are those that floats compute.
#[test]
fn recorded_channels_are_measured_as_floats_say() {
    // All but the throttle, which was moved.
    for name in ["us1", "us2", "us4", "us8"] {
        let micros = column("fixedwing_channels_4hz.csv", name);
        let meter = rest(&micros, microseconds);
        let noise = meter.noise().expect("798 samples");
        let counted = &micros[64..64 + noise.frames as usize];
        let n = f64::from(noise.frames);
        let mean = counted.iter().sum::<f64>() / n;
        let variance = counted.iter().map(|us| (us - mean).powi(2)).sum::<f64>() / (n - 1.0);
        // Both are in 256ths; a microsecond has 16 steps.
        assert!((mean - f64::from(noise.mean) / 4096.0).abs() < 1.0 / 4096.0 + 1e-6, "{name}: {mean}");
        assert!((variance - f64::from(noise.variance) / 65_536.0).abs() < 1.0 / 65_536.0 + 1e-6, "{name}: {variance}");
        assert_eq!((noise.frames, meter.strayed()), (704, false));
        println!("{name}: {mean:.2} us, deviation {:.3} points, rows {:?} steps", variance.sqrt() / 5.0, noise.rows);
    }
    assert!(rest(&column("fixedwing_channels_4hz.csv", "us3"), microseconds).strayed(), "the throttle was moved");
}

/// Given recorded channels whose largest excursion lasted one sample, when thresholds are recommended, then no rate is
/// claimed: it is no noise. An excursion that comes four times in 704 frames comes twice in a row every few hours,
/// even by chance: `confirm` is 3. A single small one leads to a threshold of twice its size.
#[test]
fn recorded_jumps_of_one_sample_get_no_claimed_rate() {
    for (name, confirm) in [("us1", 3), ("us2", 1)] {
        let meter = rest(&column("fixedwing_channels_4hz.csv", name), microseconds);
        let noise = meter.noise().expect("a rest");
        let advice = recommended(&meter, &Target::new(ms(240))).expect("thresholds");
        assert_eq!((advice.confirm, noise.step), (confirm, 16), "{name}");
        assert_ne!(advice.basis, Basis::Rate, "{name}");
        let row = f64::from(noise.rows[usize::from(confirm) - 1]) / 80.0;
        assert!(f64::from(advice.engage.to_bits()) / 163.84 >= (2.0 * row - 0.2).max(1.0), "{name}: {advice:?}");
        // Frames that were 5 us, a point, or more from the rest.
        assert_eq!(noise.far[13] > 1, confirm == 3, "{name}");
    }
}

/// The longest stretch of a thumbstick near its centre that moved by at most 2 points from sample to sample.
fn longest_rest(raw: &[f64]) -> &[f64] {
    let rests = raw.split(|x| x.abs() > 20.0).flat_map(|near| near.chunk_by(|a, b| (a - b).abs() <= 2.0));
    rests.max_by_key(|rest| rest.len()).expect("a rest")
}

/// Given recorded rests of thumbsticks, all shorter than 13 seconds, when thresholds are recommended, then a stick
/// that sways or stands elsewhere now and then is refused, and only the quiet one gets thresholds.
#[test]
fn only_the_quiet_short_recorded_rest_gets_advice() {
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
    // The reading of the quiet one never changed; its step is known from where the stick was moved.
    assert_eq!(recommended(&quiet, &target), Err(Refusal::NeverChanged { axis: 0 }));
    let step = rest(&raw[1], pulse).noise().expect("a recording").step;
    let advice = thresholds(LearntAxis { step, ..resting(&quiet) }, &target).expect("thresholds");
    assert_eq!(advice.basis, Basis::Margin(Doubt::NeverChanged));
    // Two steps of a point each, and two units for rounding.
    assert_eq!(advice.confirm, 1);
    assert!((328..=330).contains(&advice.engage.to_bits()), "{advice:?}");
}
