//! The thresholds of the host hold the target, and are not much larger than they must be.

use handback_host_tests::Watch;

use super::noise::Stick;
use crate::tune::advice::{Reading, Stray, Target, advise};
use crate::tune::doubt::Doubt;
use crate::tune::rest::AxisRest;

/// Readings without quantisation.
pub(super) const FINE: Reading = Reading { step: Some(0.0), clear: 2, jitter: 0.0 };

/// Given a hundred sticks, each at rest for five and a half minutes, when each flies for 150 times the targeted time
/// between two takeovers, then those for which a rate is claimed hold the target, and with a threshold a sixth smaller
/// they would not. The target is raised from one takeover in 100 hours to one in 100 s, where events can be counted.
#[test]
fn claimed_thresholds_hold_the_target_and_are_not_large() {
    let target = Target { hours_apart: 100.0 / 3600.0, axes: 1, frame_s: 0.02, least: 0.01, aim: 2.0, most: 50.0 };
    let (mut claimed, mut held, mut tight) = (0, 0, 0);
    for seed in 500..600 {
        let mut stick = Stick::any(seed);
        let points: Vec<f64> = (0..16_384 + 64).map(|_| stick.next()).collect();
        let rest = AxisRest::measure(&points).expect("long enough");
        let stray = Stray::of(&rest, true, 0.0, FINE);
        if Doubt::of(&rest, &stray, 0.0, target.frame_s, false).is_some() {
            continue;
        }
        let Ok(advice) = advise(&rest, &stray, None, &target) else { continue };
        let mut as_advised = Watch::new(advice.engage, advice.release, advice.confirm);
        let mut smaller = Watch::new(advice.engage / 1.2, advice.release.min(advice.engage / 1.21), advice.confirm);
        for _ in 0..150 * 100 * 50 {
            let off = (stick.next() - rest.mean).abs();
            as_advised.see(off);
            smaller.see(off);
        }
        claimed += 1;
        held += u32::from(as_advised.takeovers <= 150);
        tight += u32::from(smaller.takeovers > 150);
    }
    println!(
        "of 100 sticks {claimed} have a rate claimed, {held} hold the target, {tight} would not with a sixth less"
    );
    assert!(claimed >= 40 && held * 100 >= claimed * 95 && tight * 100 >= claimed * 95, "{claimed} {held} {tight}");
}
