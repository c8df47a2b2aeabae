//! The same rests on the device and on the host: what each recommends.

use handback::calibrate::{Bounds, Learnt, LearntAxis, Refusal, RestMeter};
use handback::{AxisSet, Channels, Deflection, Duration, Pulse};

use super::noise::Stick;
use crate::tune::advice::{Advice, Reading, Refused, Stray, Wish, advise};
use crate::tune::rest::AxisRest;

/// Pulses of any stick at rest.
fn rest(seed: u64, frames: u32) -> (String, Vec<Pulse>) {
    let mut stick = Stick::any(seed);
    // About 24,000 sixteenths of a microsecond.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pulses = (0..frames + 64).map(|_| Pulse::from_bits((24_000.0 + 80.0 * stick.next()).round() as u16)).collect();
    (stick.name, pulses)
}

fn on_the_device(pulses: &[Pulse], sprung: bool, wish: &Wish) -> Result<Advice, Refusal> {
    let mut meter = RestMeter::new();
    for pulse in pulses {
        meter.take(pulse.to_bits());
    }
    let noise = meter.noise().expect("long enough");
    let axis = LearntAxis::at_rest(noise, sprung);
    #[allow(clippy::cast_possible_truncation)] // within 200 points
    let [least, aim, most] = [wish.least, wish.aim, wish.most].map(|at| Deflection::from_bits((at * 163.84) as i16));
    let bounds = Bounds { least, aim, most };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let (apart, frame) = ((wish.hours_apart * 3600.0) as u32, Duration::from_micros((wish.frame_s * 1e6) as u32));
    let wished = handback::calibrate::Wish { apart, frame, sprung: bounds, unsprung: bounds };
    let recommended = Learnt { axes: [axis] }.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), &wished)?;
    let advice = recommended.axes[0].expect("watched");
    let [engage, release] = [advice.engage, advice.release].map(|at| f64::from(at.to_bits()) / 163.84);
    Ok(Advice { engage, release, confirm: advice.confirm })
}

fn on_the_host(pulses: &[Pulse], sprung: bool, wish: &Wish) -> Result<Advice, Refused> {
    let points: Vec<f64> = pulses.iter().map(|pulse| (f64::from(pulse.to_bits()) - 24_000.0) / 80.0).collect();
    let rest = AxisRest::measure(&points).expect("long enough");
    // A pulse has sixteenths of a microsecond.
    let reading = Reading { step: Some(1.0 / 80.0), clear: 2, jitter: 0.0 };
    advise(&rest, &Stray::of(&rest, sprung, 0.0, reading), None, wish)
}

/// One step of a threshold: half a point, the finest in which they are given (2 and 8 points; common practice, no source).
const STEP: f64 = 0.5;

#[test]
fn given_a_hundred_sticks_at_rest_when_device_and_host_recommend_then_they_are_within_a_step_of_each_other() {
    let wish = Wish { hours_apart: 100.0, axes: 1, frame_s: 0.02, least: 0.5, aim: 2.0, most: 30.0 };
    for sprung in [true, false] {
        let (mut shares, mut same) = (Vec::new(), 0);
        for seed in 0..100 {
            let (name, pulses) = rest(seed, 16_384);
            let device = on_the_device(&pulses, sprung, &wish).unwrap_or_else(|why| panic!("{name}: {why}"));
            let host = on_the_host(&pulses, sprung, &wish).unwrap_or_else(|why| panic!("{name}: {why}"));
            let off = device.engage - host.engage;
            // The device is on the safe side, but where it takes another confirm, which is worth as much.
            assert!((-0.06..STEP).contains(&off), "{name}: {device:?}, {host:?}");
            assert!((device.release - host.release).abs() < STEP, "{name}: {device:?}, {host:?}");
            shares.push(off / host.engage);
            same += u32::from(device.confirm == host.confirm);
        }
        shares.sort_by(f64::total_cmp);
        println!(
            "sprung {sprung}: the device's engage is {:.2} % above the host's (median), {:.2} % (9 of 10), {:.2} % (most); \
             confirm is the same on {same} of 100",
            100.0 * shares[50],
            100.0 * shares[89],
            100.0 * shares[99]
        );
        assert!(shares[50] < 0.015 && shares[89] < 0.04, "{shares:?}");
        assert!(same >= 90, "{same}");
    }
}

#[test]
fn given_a_rest_that_is_too_short_when_device_and_host_are_asked_then_both_say_how_long_it_should_be() {
    let wish = Wish { hours_apart: 100.0, axes: 1, frame_s: 0.02, least: 1.0, aim: 2.0, most: 8.0 };
    let quiet = |frames| vec![Pulse::from_micros(1500); frames];
    assert_eq!(on_the_host(&quiet(250), true, &wish), Err(Refused::TooShort { frames: 128, wanted: 256 }));
    let device = on_the_device(&quiet(250), true, &wish);
    assert_eq!(device, Err(Refusal::RestTooShort { axis: 0, frames: 128, wanted: 256 }));
    // Long enough, it is a quiet stick.
    for advice in [on_the_device(&quiet(400), true, &wish).ok(), on_the_host(&quiet(400), true, &wish).ok()] {
        let Some(Advice { engage, confirm, .. }) = advice else { panic!("no advice") };
        assert!((engage - 1.0).abs() < 0.01 && confirm == 1);
    }
}
