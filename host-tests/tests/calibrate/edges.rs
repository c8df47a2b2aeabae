//! What only a careless pilot or an unusual target reaches: corners not reached, pauses in a sweep, wide thresholds, jumps.

use handback::calibrate::{
    AxisAdvice, Basis, Calibration, Doubt, Learnt, LearntAxis, Prompt, Recommendation, Refusal, RestMeter, Sweep,
    Target, deviations,
};
use handback::{AxisRule, AxisSet, Channels, Micros, Policy, Pulse};
use handback_host_tests::{axes, ms, points, with};

use crate::gimbal::{Colour, Gimbal, pulse, resting};
use crate::pilot::{Stick, guided};

const BOTH: AxisSet = AxisSet::of(&[0, 1]);

fn sticks() -> [Stick; 2] {
    [1, 2].map(|seed| Stick::new(seed, [2000.0, 1500.0, 1000.0]))
}

/// Given a rest shorter or longer than allowed, when the guide begins, then the nearer limit counts: 128 frames after the
/// first 64, or 131,072.
#[test]
fn the_length_of_the_rest_is_kept_within_its_limits() {
    for (asked, counted) in [(0, 128), (127, 128), (129, 192), (131_073, 131_072), (u32::MAX, 131_072)] {
        let mut calibration = Calibration::new(BOTH, asked);
        let mut frames = 0;
        while calibration.step() == Prompt::HandsOff {
            let reading = Pulse::from_bits(24_000 + u16::from(frames % 2 == 0));
            let _ = calibration.take(&[reading; 2]);
            frames += 1;
        }
        assert_eq!(frames, 64 + counted, "{asked} were asked for");
    }
}

/// Given a stick that hardly leaves its centre for its second corner, when the other has come there, then it is missing.
#[test]
fn a_second_corner_that_is_hardly_left_is_missing() {
    let mut calibration = Calibration::new(BOTH, 128);
    let mut sticks = sticks();
    sticks[0].bottom = 1500.0 - 90.0;
    let progress = guided(&mut calibration, &mut sticks, BOTH, 2000, |_, _, _| {});
    let last = progress.last().expect("frames");
    assert_eq!((last.step, last.missing), (Prompt::BottomLeft, axes(&[0])));
}

/// Given one stick that is back long before the other, when it is touched again meanwhile, then the first return counts.
#[test]
fn a_stick_that_is_back_is_not_measured_again() {
    let mut calibration = Calibration::new(BOTH, 128);
    let mut let_go = 0;
    let _ = guided(&mut calibration, &mut sticks(), BOTH, 3000, |_, step, readings| {
        let_go = if step == Prompt::LetGo { let_go + 1 } else { 0 };
        if (1..400).contains(&let_go) {
            // The second is held on; the first rests, and then is held 4 points away.
            readings[1] = Pulse::from_micros(1900);
            if let_go > 200 {
                readings[0] = Pulse::from_micros(1520);
            }
        }
    });
    let learnt = calibration.learnt().expect("through");
    let scatters = learnt.axes.map(|axis| axis.scatter);
    assert!(scatters[0] < 16 * 2, "less than 2 us: {scatters:?}");
}

/// Given a pilot who stops in the middle of each sweep, when a hundred frames passed there, then that is no sweep; then
/// sweeps without a pause end the step.
#[test]
fn a_pause_in_the_middle_is_no_sweep() {
    let mut calibration = Calibration::new(BOTH, 128);
    let mut stirred = 0;
    let progress = guided(&mut calibration, &mut sticks(), BOTH, 8000, |_, step, readings| {
        if step == Prompt::Stir {
            stirred += 1;
            if stirred < 3000 {
                // 20 frames at an end, 130 in the middle, 20 at the other end.
                *readings = [Pulse::from_micros(
                    [1950, 1500, 1050, 1500][match stirred % 300 {
                        0..20 => 0,
                        20..150 => 1,
                        150..170 => 2,
                        _ => 3,
                    }],
                ); 2];
            }
        }
    });
    let until = progress.iter().filter(|progress| progress.step == Prompt::Stir).count();
    assert!((3000..3500).contains(&until), "{until} frames of sweeps");
    assert_eq!(calibration.step(), Prompt::Done);
    let sweeps = calibration.learnt().expect("through").axes.map(|axis| axis.slowest_sweep);
    assert!(sweeps.iter().flatten().all(|sweep| sweep.frames[0] < 100), "{sweeps:?}");
}

/// Given a slow sweep and ever wider thresholds, when a dwell is recommended, then it is that of the narrowest band that
/// contains `engage`, at most that of the widest.
#[test]
fn the_dwell_is_that_of_the_band_around_engage() {
    let quiet = Gimbal::new(11, Colour::White, 0.02, (0.0, 1.0)).rest(6000);
    // 500 us to an end, 8000 steps: an eighth is 1000. The bands reach 25, 12.5, 6.25 and 3.125 points.
    let sweep = Some(Sweep { eighth: 1000, frames: [40, 30, 20, 10] });
    let axis = LearntAxis { slowest_sweep: sweep, ..quiet };
    for (engage, frames) in [(1, 10), (3, 10), (5, 20), (10, 30), (20, 40), (30, 40)] {
        let mut target = Target::new(ms(20));
        (target.sprung.least, target.sprung.most) = (points(engage), points(engage));
        let channels = Channels::<_, 1, 1>::pulses();
        let recommended = Learnt { axes: [axis] }.recommend(&channels, AxisSet::first(1), &target).expect("quiet");
        // One frame more, and one of `confirm`.
        assert_eq!(recommended.dwell, Some(ms((frames + 2) * 20)), "{engage} points");
    }
}

/// Given a recommendation without an axis and without a dwell, when it is applied, then these stay as they were.
#[test]
fn what_is_not_recommended_stays() {
    let advice = AxisAdvice { engage: points(3), release: points(1), confirm: 2, basis: Basis::Margin(Doubt::Brief) };
    let recommended = Recommendation { axes: [None, Some(advice)], dwell: None };
    let policy = Policy::new([AxisRule::sprung(); 2]);
    let applied = recommended.apply(policy, &handback::Frame::new([points(7); 2]));
    assert_eq!((applied.axes[0], applied.dwell), (policy.axes[0], policy.dwell));
    let rest = handback::Rest::At(points(7));
    assert_eq!(applied.axes[1], with!(policy.axes[1], engage: points(3), release: points(1), confirm: 2, rest: rest));
}

/// Given jumps that are rare enough for a `confirm` of three, when thresholds are recommended, then there is a margin; when
/// the target allows no threshold as large, then the refusal says that the readings jump.
#[test]
fn jumps_too_large_for_the_target_are_named_as_jumps() {
    let mut stick = Gimbal::new(5, Colour::White, 0.1, (0.0, 1.0));
    let mut meter = RestMeter::new();
    for frame in 0..6064_u32 {
        let jump = if frame % 1000 == 500 { [95.0, -95.0][(frame / 1000 % 2) as usize] } else { 0.0 };
        meter.take(pulse(stick.points() + jump).to_bits());
    }
    let jumping: LearntAxis<Micros> = resting(&meter);
    let channels = Channels::<_, 1, 1>::pulses();
    let mut target = Target::new(ms(20));
    let mut recommend = |most| {
        target.sprung.most = points(most);
        Learnt { axes: [jumping] }.recommend(&channels, AxisSet::first(1), &target)
    };
    let advice = recommend(8).expect("room for the jumps").axes[0].expect("watched");
    assert_eq!((advice.basis, advice.confirm), (Basis::Margin(Doubt::Jumps), 3));
    assert!(advice.engage > points(4), "{advice:?}");
    assert_eq!(recommend(4), Err(Refusal::Moved { axis: 0 }));
}

/// Given noise whose frames are as far out as those two before, on the other side, when three in a row are looked up, then
/// they are as frequent as two in a row.
#[test]
fn a_third_frame_that_mirrors_the_first_rules_nothing_out() {
    // The correlation of neighbours is 0, that of the outer two -1: three frames beyond a threshold on any side are
    // just two independent ones.
    let mirrored = [1 << 20, 2 << 20];
    for frames in [1 << 16, 1 << 20, 18_000_000, 1 << 30] {
        let [two, three] = [2, 3].map(|confirm| deviations(frames, confirm, mirrored));
        assert!(three.abs_diff(two) * 50 < two, "one in {frames}: {two} for two, {three} for three");
    }
}

/// Given each doubt and each action, when it is worded, then the words are its own.
#[test]
fn each_doubt_and_each_action_is_worded() {
    let doubts = [
        (Doubt::NeverChanged, "never changed"),
        (Doubt::Coarse, "coarse"),
        (Doubt::Brief, "less than two minutes"),
        (Doubt::Wanders, "a longer rest would show"),
        (Doubt::Jumps, "jump"),
        (Doubt::Tails, "more often than normal noise"),
    ];
    for (doubt, words) in doubts {
        let holds = doubts.iter().filter(|(other, _)| other.wording().contains(words)).count();
        assert!(doubt.wording().contains(words) && holds == 1, "{doubt:?}: {}", doubt.wording());
    }
    assert_eq!(Prompt::Done.wording(), "Done.");
}
