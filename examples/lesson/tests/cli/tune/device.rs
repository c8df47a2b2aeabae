//! The recommendation of the device for the same recording (`handback::calibrate`), with tables and in whole numbers.

use handback::calibrate::{Learnt, LearntAxis, RestMeter, Target};
use handback::{AxisSet, Channels, Duration, Micros, Pulse};

use super::sticks::{BOX, Stick, rest};
use crate::desk::Desk;

/// What the guide learns of a stick with this rest that was never let go.
fn learnt(us: &[u32], stick: &Stick) -> LearntAxis<Micros> {
    let mut meter = RestMeter::new();
    for &us in us {
        meter.take(Pulse::from_micros(us).to_bits());
    }
    LearntAxis::at_rest(meter.noise().expect("blocks"), stick.spring.is_some())
}

/// Given one recording, when device and host recommend, then `confirm` is the same and the thresholds are nearly the
/// same.
#[test]
fn device_and_host_agree_on_confirm_and_nearly_on_engage() {
    let text = rest(41, &BOX, 6200);
    let rows = text.lines().skip(1).map(|row| row.split(',').skip(1).map(|us| us.parse::<u32>().unwrap()).collect());
    let rows = rows.collect::<Vec<Vec<u32>>>();
    let axis = |axis: usize| learnt(&rows.iter().map(|row| row[axis]).collect::<Vec<_>>(), &BOX[axis]);
    let device = Learnt { axes: [axis(0), axis(1), axis(2), axis(3)] };
    let target = Target::new(Duration::from_millis(20));
    let device = device.recommend(&Channels::<_, 4, 4>::pulses(), AxisSet::first(4), &target).unwrap();

    let desk = Desk::new();
    desk.put("rest.csv", text).run_well(&["tune", "rest.csv"]);
    let policy = desk.read("tuned.toml");
    let host = |key: &str| {
        let values = policy.lines().filter_map(|line| line.strip_prefix(key)?.strip_prefix(" = "));
        values.map(|value| value.parse::<f64>().unwrap()).collect::<Vec<_>>()
    };
    let (engage, release, confirm) = (host("engage_points"), host("release_points"), host("confirm"));
    for (axis, advice) in device.axes.iter().enumerate() {
        let advice = advice.expect("watched");
        let [device_engage, device_release] =
            [advice.engage, advice.release].map(|threshold| f64::from(threshold.to_bits()) / 163.84);
        println!(
            "{}: {device_engage:.3} here {}, {device_release:.3} here {}",
            BOX[axis].name, engage[axis], release[axis]
        );
        assert_eq!(f64::from(advice.confirm).to_bits(), confirm[axis].to_bits(), "{}", BOX[axis].name);
        // The tables are never too small: they round up.
        assert!((-0.01..0.06).contains(&(device_engage - engage[axis])), "{device_engage} {}", engage[axis]);
        assert!((device_release - release[axis]).abs() < 0.04, "{device_release} {}", release[axis]);
    }
}
