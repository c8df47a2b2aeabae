//! The recommendations of the device and of the host for the same rests.

use handback::calibrate::{Basis, Bounds, Learnt, LearntAxis, Refusal, RestMeter};
use handback::{AxisSet, Channels, Deflection, Duration, Pulse};

use super::noise::Stick;
use crate::tune::advice::{Advice, Reading, Refused, Stray, Target, advise};
use crate::tune::doubt::Doubt;
use crate::tune::rest::AxisRest;

/// The name and the pulses of a random stick at rest.
fn rest(seed: u64, frames: u32) -> (String, Vec<Pulse>) {
    let mut stick = Stick::any(seed);
    // Values are near 24,000 sixteenths of a microsecond.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let pulses = (0..frames + 64).map(|_| Pulse::from_bits((24_000.0 + 80.0 * stick.next()).round() as u16)).collect();
    (stick.name, pulses)
}

/// The recommendation of the device, and whether it claims a rate. `step` is the quantisation step in sixteenths of a
/// microsecond.
pub(super) fn on_the_device(
    pulses: &[Pulse],
    step: u16,
    sprung: bool,
    target: &Target,
) -> Result<(Advice, bool), Refusal> {
    let mut meter = RestMeter::new();
    for pulse in pulses {
        meter.take(pulse.to_bits());
    }
    let noise = meter.noise().expect("long enough");
    let axis = LearntAxis { step, ..LearntAxis::at_rest(noise, sprung) };
    #[allow(clippy::cast_possible_truncation)] // within 200 points
    let [least, aim, most] =
        [target.least, target.aim, target.most].map(|at| Deflection::from_bits((at * 163.84) as i16));
    let bounds = Bounds { least, aim, most };
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let (apart, frame) = ((target.hours_apart * 3600.0) as u32, Duration::from_micros((target.frame_s * 1e6) as u32));
    let mut wanted = handback::calibrate::Target::new(frame);
    (wanted.apart, wanted.sprung, wanted.unsprung) = (apart, bounds, bounds);
    let recommended = Learnt { axes: [axis] }.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), &wanted)?;
    let advice = recommended.axes[0].expect("watched");
    let [engage, release] = [advice.engage, advice.release].map(|at| f64::from(at.to_bits()) / 163.84);
    Ok((Advice { engage, release, confirm: advice.confirm }, advice.basis == Basis::Rate))
}

/// The recommendation of the host, and whether it claims a rate.
fn on_the_host(pulses: &[Pulse], sprung: bool, target: &Target) -> Result<(Advice, bool), Refused> {
    let points: Vec<f64> = pulses.iter().map(|pulse| (f64::from(pulse.to_bits()) - 24_000.0) / 80.0).collect();
    let rest = AxisRest::measure(&points).expect("long enough");
    // The unit of a pulse is a sixteenth of a microsecond.
    let step = 1.0 / 80.0;
    let stray = Stray::of(&rest, sprung, 0.0, Reading { step: Some(step), clear: 2, jitter: 0.0 });
    let doubt = Doubt::of(&rest, &stray, step, target.frame_s, false);
    advise(&rest, &stray, doubt, target).map(|advice| (advice, doubt.is_none()))
}

/// One step of a threshold: half a point, the finest in which thresholds are given (2 and 8 points; common practice,
/// no source).
const STEP: f64 = 0.5;

/// Given a hundred sticks at rest, when both recommend, then the device is on the safe side and within a step of the
/// host, and it claims a rate for at most three sticks for which the host claims none.
#[test]
fn device_and_host_recommend_nearly_the_same() {
    let target = Target { hours_apart: 100.0, axes: 1, frame_s: 0.02, least: 0.5, aim: 2.0, most: 30.0 };
    for sprung in [true, false] {
        let (mut shares, mut both, mut device_alone, mut host_alone) = (Vec::new(), 0, 0, 0);
        for seed in 0..100 {
            let (name, pulses) = rest(seed, 16_384);
            let [device, host] = [
                on_the_device(&pulses, 1, sprung, &target).ok().filter(|(_, claimed)| *claimed),
                on_the_host(&pulses, sprung, &target).ok().filter(|(_, claimed)| *claimed),
            ];
            device_alone += u32::from(device.is_some() && host.is_none());
            host_alone += u32::from(host.is_some() && device.is_none());
            let (Some((device, _)), Some((host, _))) = (device, host) else { continue };
            both += 1;
            if device.confirm != host.confirm {
                continue; // as good, but not comparable
            }
            let off = device.engage - host.engage;
            assert!((-0.06..STEP).contains(&off), "{name}: {device:?}, {host:?}");
            assert!((device.release - host.release).abs() < STEP, "{name}: {device:?}, {host:?}");
            shares.push(off / host.engage);
        }
        shares.sort_by(f64::total_cmp);
        let same = shares.len();
        println!(
            "sprung {sprung}: both claim a rate for {both} of 100, the device alone for {device_alone}, the host alone for \
             {host_alone}; the device's engage is {:.2} % above the host's (median), {:.2} % (9 of 10), {:.2} % (most); \
             confirm is the same on {same}",
            100.0 * shares[same / 2],
            100.0 * shares[same * 9 / 10],
            100.0 * shares[same - 1]
        );
        assert!(both >= 40 && device_alone <= 3, "{both} {device_alone}");
        assert!(shares[same / 2] < 0.015 && shares[same * 9 / 10] < 0.04, "{shares:?}");
        assert!(same * 10 >= both * 9, "{same}");
    }
}

/// Given a rest that is too short, when both recommend, then both say how long it should be; given a rest of two
/// minutes whose readings never change, then both recommend the least threshold and claim no rate.
#[test]
fn device_and_host_say_how_long_a_rest_should_be() {
    let target = Target { hours_apart: 100.0, axes: 1, frame_s: 0.02, least: 1.0, aim: 2.0, most: 8.0 };
    let quiet = |frames| vec![Pulse::from_micros(1500); frames];
    assert_eq!(on_the_host(&quiet(250), true, &target), Err(Refused::TooShort { frames: 128, wanted: 256 }));
    let device = on_the_device(&quiet(250), 1, true, &target);
    assert_eq!(device, Err(Refusal::RestTooShort { axis: 0, frames: 128, wanted: 256 }));
    for advice in [on_the_device(&quiet(6200), 1, true, &target).ok(), on_the_host(&quiet(6200), true, &target).ok()] {
        let Some((Advice { engage, confirm, .. }, claimed)) = advice else { panic!("no advice") };
        assert!((engage - 1.0).abs() < 0.01 && confirm == 1 && !claimed);
    }
}
