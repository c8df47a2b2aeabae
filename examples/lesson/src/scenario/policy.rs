//! The policy that the box ships with for this model.

use handback::{AxisRule, Deflection, Policy, Rest};

use super::stick::Stick;
use super::{AXES, Scenario, Stream, THROTTLE, instructor_sticks};

/// What the throttle outputs when nobody flies: the motor off.
const MOTOR_OFF: Deflection = Deflection::from_points(-100);
/// How often each stick is let go from either side while its rest is learnt.
const RELEASES: u8 = 8;
const CALIBRATION_DT: f64 = 0.02;

impl Scenario {
    /// The library's defaults, with the rests of this instructor's own sprung sticks, learnt as a user would learn them:
    /// let go from either side, wait, read.
    pub(crate) fn shipped_policy(seed: u64) -> Policy<AXES> {
        let mut sticks = instructor_sticks(seed, Stream::Calibration, CALIBRATION_DT);
        Policy::new(core::array::from_fn(|axis| {
            if axis == THROTTLE {
                AxisRule::unsprung(MOTOR_OFF)
            } else {
                let mut rule = AxisRule::sprung();
                rule.rest = Rest::At(learn_rest(&mut sticks[axis]));
                rule
            }
        }))
    }
}

/// The mean of what the untouched stick reads, after releases from either side.
fn learn_rest(stick: &mut Stick) -> Deflection {
    let (mut total_us, mut readings) = (0_i64, 0_i64);
    for release in 0..RELEASES {
        stick.steer(if release % 2 == 0 { 60.0 } else { -60.0 }, 15.0);
        stick.wait(25);
        stick.let_go();
        stick.wait(30);
        for _ in 0..25 {
            total_us += i64::from(stick.read());
            readings += 1;
        }
    }
    // A microsecond is 20 hundredths of a point.
    let centipoints = (total_us - 1500 * readings) * 20 / readings;
    Deflection::from_centipoints(i32::try_from(centipoints).unwrap_or(0))
}
