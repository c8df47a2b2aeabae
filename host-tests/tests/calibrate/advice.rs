//! Calibration advice: what is recommended, what is refused, and why.

use handback::calibrate::{
    AxisAdvice, Basis, Calibration, Doubt, Learnt, LearntAxis, Recommendation, Refusal, RestMeter, Target, Trouble,
};
use handback::{
    AxisRule, AxisSet, Cause, Channels, Deflection, Duration, Engine, Frame, Inputs, Instant, Micros, Pilot, Policy,
    Pulse,
};
use handback_host_tests::{Random, ms, points, with};

use crate::gimbal::{Colour, Gimbal, pulse, resting, whole};
use crate::pilot::{SPRUNG, Stick, guided, swept};

/// Recommends for one watched axis, read through a nominal channel.
fn alone(axis: LearntAxis<Micros>, target: &Target) -> Result<Recommendation<1>, Refusal> {
    Learnt { axes: [axis] }.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), target)
}

fn usual() -> Target {
    Target::new(ms(20))
}

fn rest(colour: Colour, rms: f64, drift: (f64, f64), frames: u32) -> LearntAxis<Micros> {
    Gimbal::new(11, colour, rms, drift).rest(frames)
}

fn refused(axis: LearntAxis<Micros>) -> Refusal {
    alone(axis, &usual()).expect_err("no threshold makes sense")
}

/// Given white noise that grows, when thresholds are recommended, then `confirm` grows only where fewer frames do not
/// reach the threshold aimed at.
#[test]
fn confirm_grows_with_white_noise_only_where_needed() {
    // The aim is 2 points. The target is one takeover in 100 hours, 18,000,000 frames. 2 Q(z), its square and its cube
    // are 1 / 18,000,000 at 5.4, 3.7 and 2.9 deviations, where Q is the normal tail.
    for (rms, confirm) in [(0.05, 1), (0.3, 1), (0.45, 2), (0.6, 3), (1.0, 3)] {
        let advice =
            alone(rest(Colour::White, rms, (0.0, 1.0), 6000), &usual()).expect("a threshold").axes[0].expect("watched");
        assert_eq!(advice.confirm, confirm, "{rms} points: {advice:?}");
        assert!(advice.release < advice.engage && advice.engage >= points(1), "{advice:?}");
    }
}

/// Given a quiet stick, when thresholds are recommended, then `engage` is the least that the target allows.
#[test]
fn a_quiet_stick_gets_the_least_threshold() {
    // A rest below 110 s does not show whether the stick wanders: 109 s here, then 111 s.
    let quiet = |frames| {
        let advice = alone(rest(Colour::White, 0.02, (0.0, 1.0), frames), &usual()).expect("quiet");
        advice.axes[0].expect("watched")
    };
    let advice = quiet(5550);
    assert_eq!((advice.engage, advice.release, advice.confirm), (points(1), Deflection::from_bits(82), 1));
    assert_eq!(advice.basis, Basis::Rate);
    assert_eq!(quiet(5450), AxisAdvice { basis: Basis::Margin(Doubt::Brief), ..advice });
    // A stick whose reading never changes gets the same thresholds once the step of its readings is known, without a
    // rate.
    let mut still = RestMeter::new();
    (0..1024).for_each(|_| still.take(24_000));
    let still = resting(&still);
    assert_eq!(refused(still), Refusal::NeverChanged { axis: 0 });
    let margin = AxisAdvice { basis: Basis::Margin(Doubt::NeverChanged), ..advice };
    assert_eq!(alone(LearntAxis { step: 16, ..still }, &usual()).expect("quiet").axes[0], Some(margin));
    // Two steps of 3 points, and one unit of rounding for each.
    let coarse = alone(LearntAxis { step: 240, ..still }, &usual()).expect("quiet").axes[0].expect("watched");
    assert_eq!(coarse.engage.to_bits(), points(6).to_bits() + 2);
    let too_coarse = refused(LearntAxis { step: 400, ..still });
    assert!(matches!(too_coarse, Refusal::TooNoisy { trouble: Trouble::Steps, .. }), "{too_coarse}");
}

/// Given ever rarer targets, when thresholds are recommended, then `engage` never falls. Given sixteen watched axes,
/// then it is larger than for one.
#[test]
fn rarer_targets_and_more_axes_only_raise_thresholds() {
    let axis = rest(Colour::White, 0.4, (0.0, 1.0), 6000);
    let mut least = Deflection::CENTRE;
    for apart in [60, 3600, 36_000, 360_000, 3_600_000, u32::MAX] {
        let target = with!(usual(), apart: apart);
        let target = with!(target, sprung: with!(target.sprung, aim: points(100)));
        let engage = alone(axis, &target).expect("a threshold").axes[0].expect("watched").engage;
        assert!(engage >= least, "{apart} s apart: {engage}");
        least = engage;
        let sixteen = Learnt { axes: [axis; 16] }.recommend(&Channels::<_, 16, 16>::pulses(), AxisSet::ALL, &target);
        let of_sixteen = sixteen.expect("thresholds").axes[15].expect("watched").engage;
        assert!(of_sixteen > engage, "all watched axes together");
    }
}

/// Given a short rest, when the noise is slow, then it is refused and the error names the frames wanted; when the
/// noise is white, then it gets thresholds. Slow noise gets them after a longer rest.
#[test]
fn a_short_rest_of_slow_noise_is_refused() {
    let slow = refused(rest(Colour::Forgets(0.5), 0.2, (0.0, 1.0), 1024));
    let Refusal::RestTooShort { axis: 0, frames: 1024, wanted } = slow else { panic!("{slow}") };
    assert!((3000..40_000).contains(&wanted), "{slow}");
    assert!(alone(rest(Colour::White, 0.2, (0.0, 1.0), 1024), &usual()).is_ok());
    let longer = alone(rest(Colour::Forgets(0.5), 0.2, (0.0, 1.0), wanted * 2), &usual());
    assert!(longer.is_ok(), "{longer:?}");
}

/// Given a stick that no threshold can help, when thresholds are recommended, then the refusal names the trouble:
/// noise, slow noise, drift or spring.
#[test]
fn the_trouble_that_no_threshold_helps_is_named() {
    let trouble = |axis| match refused(axis) {
        Refusal::TooNoisy { axis: 0, engage, most, trouble } => {
            assert!(engage > most && most == points(8), "{engage}");
            trouble
        }
        other => panic!("{other}"),
    };
    assert_eq!(trouble(rest(Colour::White, 3.5, (0.0, 1.0), 6000)), Trouble::Noise);
    assert_eq!(trouble(rest(Colour::Forgets(0.2), 2.0, (0.0, 1.0), 24_000)), Trouble::SlowNoise);
    assert_eq!(trouble(rest(Colour::White, 0.3, (9.0, 120.0), 12_000)), Trouble::Drift);
    let sticky = LearntAxis { scatter: 80 * 9, ..rest(Colour::White, 0.1, (0.0, 1.0), 6000) };
    assert_eq!(trouble(sticky), Trouble::Spring);
    let said = refused(sticky).to_string();
    assert!(
        said.starts_with("axis 0: engage would be 9.") && said.ends_with("spring and bearing of the stick"),
        "{said}"
    );
}

/// Given readings that jump once, when the jump lasts one frame, then `confirm` is 2; for two frames it is 3; for
/// three the stick is refused as moved.
#[test]
fn confirm_outlasts_jumps_of_one_and_two_frames() {
    let with_jump = |frames: usize| {
        let mut gimbal = Gimbal::new(3, Colour::White, 0.1, (0.0, 1.0));
        let mut meter = RestMeter::new();
        for n in 0..6064 {
            let jumps = (3000..3000 + frames).contains(&n);
            meter.take(if jumps { pulse(6.0) } else { gimbal.pulse() }.to_bits());
        }
        alone(resting(&meter), &usual())
    };
    let told = |frames| {
        let advice = with_jump(frames).expect("thresholds").axes[0].expect("watched");
        (advice.confirm, advice.basis)
    };
    let jumps = Basis::Margin(Doubt::Jumps);
    assert_eq!([0, 1, 2].map(told), [(1, Basis::Rate), (2, jumps), (3, jumps)]);
    assert_eq!(with_jump(3), Err(Refusal::Moved { axis: 0 }));
}

/// Given a stick that jumps often, when thresholds are recommended, then its own measured rest would not have taken
/// the craft. Frequent jumps make the deviation so large that it explains them; this case guards against a threshold
/// derived from it alone.
#[test]
fn the_measured_rest_itself_never_passes_the_threshold() {
    let mut confirms = Vec::new();
    for one_in in (5..200).chain([500, 1000, 5000]) {
        let mut gimbal = Gimbal::new(4, Colour::White, 0.05, (0.0, 1.0));
        let mut meter = RestMeter::new();
        for n in 0..6064 {
            let jump = if n % one_in == one_in - 1 { 1.5 } else { 0.0 };
            meter.take(pulse(gimbal.points() + jump).to_bits());
        }
        let axis = resting(&meter);
        let advice = alone(axis, &usual()).expect("thresholds").axes[0].expect("watched");
        // `rows` is in steps from the mean of the first block, 64 frames, which differs a little from the mean of the
        // rest.
        let row = f64::from(axis.noise.rows[usize::from(advice.confirm) - 1]) / 80.0;
        let engage = f64::from(advice.engage.to_bits()) / 163.84;
        assert!(row <= engage, "a jump of one frame in {one_in}: {row} points were seen, {advice:?}");
        // A rate is claimed only for a threshold that a jump from the mean, and five deviations more, does not reach.
        let reach = 1.5 - (f64::from(axis.noise.mean) / 256.0 - 24_000.0) / 80.0 + 0.25;
        assert!(advice.basis != Basis::Rate || engage > reach, "a jump of one frame in {one_in}: {advice:?}");
        confirms.push(advice.confirm);
    }
    assert!((1..=3).all(|confirm| confirms.contains(&confirm)), "{confirms:?}");
}

/// Given jumps of single frames that come by chance, so that the chance of two in a row is the square of one, when the
/// stick flies as recommended, then the target is held, or the stick was refused. The target is raised to one takeover
/// in 400 s.
#[test]
fn chance_jumps_hold_the_target_or_are_refused() {
    let mut told = Vec::new();
    for (number, chance) in (0..).zip([0.0005, 0.001, 0.003, 0.01, 0.02, 0.03, 0.1, 0.2]) {
        let (mut gimbal, mut random) = (Gimbal::new(6, Colour::White, 0.1, (0.0, 1.0)), Random::new(number));
        let mut next = || gimbal.points() + if random.unit() < chance { 1.5 } else { 0.0 };
        let mut meter = RestMeter::new();
        (0..16_448).for_each(|_| meter.take(pulse(next()).to_bits()));
        let axis = resting(&meter);
        let Ok(advice) = alone(axis, &with!(usual(), apart: 400)) else {
            told.push(0);
            continue;
        };
        let advice = advice.axes[0].expect("watched");
        let (engage, centre) = (f64::from(advice.engage.to_bits()) / 163.84, f64::from(axis.noise.mean) / 20_480.0);
        let (mut row, mut takeovers) = (0, 0);
        for _ in 0..150 * 400 * 50 {
            row = if (next() - (centre - 300.0)).abs() > engage { row + 1 } else { 0 };
            takeovers += u32::from(row == advice.confirm);
        }
        assert!(takeovers <= 150, "jumps in {chance} of frames: {takeovers} takeovers with {advice:?}");
        told.push(advice.confirm);
    }
    println!("confirm by how often it jumps, 0 is refused: {told:?}");
    assert!([2, 3].iter().all(|confirm| told.contains(confirm)), "{told:?}");
}

/// Given slow noise far below a microsecond near the edge between two readings, when the reading is the other one for
/// some frames, then that is no jump.
#[test]
fn a_quiet_reading_that_moves_by_one_microsecond_is_no_jump() {
    let mut gimbal = Gimbal::new(5, Colour::Forgets(0.3), 0.02, (0.0, 1.0));
    let mut meter = RestMeter::new();
    for _ in 0..16_448 {
        let micros = whole(1500.25 + gimbal.points() * 5.0);
        meter.take(micros * 16);
    }
    let axis = resting(&meter);
    assert_eq!(axis.noise.rows, [16; 3], "a microsecond off for three frames and more");
    let advice = alone(axis, &usual()).expect("a quiet stick").axes[0].expect("watched");
    assert_eq!((advice.engage, advice.confirm, advice.basis), (points(1), 1, Basis::Margin(Doubt::Coarse)));
    // A change of more than half of the least threshold is a jump.
    let high = axis.noise.centre + 60;
    let far = LearntAxis { noise: handback::calibrate::RestNoise { high, rows: [60; 3], ..axis.noise }, ..axis };
    assert_eq!(refused(far), Refusal::Moved { axis: 0 });
}

/// Given a watched axis without a channel, when thresholds are recommended, then the refusal names the axis.
#[test]
fn a_watched_axis_without_a_channel_is_named() {
    let axis = rest(Colour::White, 0.1, (0.0, 1.0), 1024);
    let mut channels = Channels::<_, 2, 2>::pulses();
    channels.axes[1] = None;
    let learnt = Learnt { axes: [axis; 2] };
    assert_eq!(learnt.recommend(&channels, AxisSet::first(2), &usual()), Err(Refusal::NoChannel { axis: 1 }));
    let first = learnt.recommend(&channels, AxisSet::first(1), &usual()).expect("the watched one has a channel");
    assert!(first.axes[0].is_some() && first.axes[1].is_none());
}

/// Given the longest refusals, when they are printed, then nothing is cut off.
#[test]
fn the_longest_refusals_are_printed_in_full() {
    let (engage, most) = (Deflection::MAX, Deflection::MIN);
    for trouble in [Trouble::Noise, Trouble::SlowNoise, Trouble::Drift, Trouble::Spring, Trouble::Steps] {
        let said = Refusal::TooNoisy { axis: 15, engage, most, trouble }.to_string();
        assert!(said.ends_with(trouble.help()), "{said}");
    }
    let said = Refusal::RestTooShort { axis: 15, frames: u32::MAX, wanted: u32::MAX }.to_string();
    assert!(said.starts_with("axis 15: ") && said.ends_with("keep hands off for 4294967295 frames"), "{said}");
    let said = Refusal::Moved { axis: 15 }.to_string();
    assert!(said.ends_with("check plug and potentiometer"), "{said}");
    let said = Refusal::NeverChanged { axis: 15 }.to_string();
    assert!(said.ends_with("the step of its readings is known"), "{said}");
    assert!(Refusal::NoChannel { axis: 15 }.to_string().ends_with("or do not watch it"));
}

/// Calibrates four sticks, the first of which overshoots when it is let go: the recommended policy and the rests.
fn learnt_policy() -> (Policy<4>, Frame<4>) {
    let mut sticks = [1, 2, 3, 4].map(|seed| Stick::new(seed, [1990.0, 1505.0, 1020.0]));
    sticks[0].swings = 30.0;
    sticks[0].sweep = 300;
    let mut calibration = Calibration::new(SPRUNG, 2048);
    guided(&mut calibration, &mut sticks, SPRUNG, 6500, |_, _, _| {});
    let learnt = calibration.learnt().expect("through");
    // The instructor's transmitter flies the craft by itself and keeps its nominal channels.
    let channels = Channels::<_, 4, 4>::pulses();
    let advice = learnt.recommend(&channels, AxisSet::first(4), &usual()).expect("thresholds");
    let rests = channels.check().expect("a good set-up").frame(&learnt.centres());
    let rule = AxisRule::sprung();
    let policy = with!(Policy::new([rule, rule, AxisRule::unsprung(points(-100)), rule]), fade: ms(0));
    (advice.apply(policy, &rests), rests)
}

/// How often the student gets the craft while the instructor's first stick moves as `at` says: microseconds by frame.
fn handed_back(policy: Policy<4>, rests: Frame<4>, at: impl Fn(u32) -> f64) -> usize {
    let checked = policy.check().expect("a good policy");
    let mut engine = Engine::new(&checked);
    let mut got = 0;
    for n in 0..5000_u32 {
        let mut sticks = rests;
        if n >= 500 {
            let micros = Pulse::from_bits(whole(at(n - 500) * 16.0));
            let read = Channels::<_, 1, 1>::pulses().check().expect("good").frame(&[micros]);
            sticks.axes_mut()[0] = read.axes()[0];
        }
        let inputs = Inputs {
            instructor: Some(&sticks),
            student: Some(&Frame::CENTRE),
            lesson_switch: n > 5,
            ..Inputs::default()
        };
        let outcome = engine.step(Instant::from_ticks(20_000 * n), inputs);
        let to_student = outcome.event.is_some_and(|event| matches!(event.to, Pilot::Student(_)));
        got += usize::from(n >= 500 && to_student);
    }
    got
}

/// Given the learnt dwell, when the instructor sweeps the stick, then the student gets nothing; with a dwell of 0 the
/// student would. When the stick is let go, then the student gets the craft once, when it has come to rest.
#[test]
fn the_learnt_dwell_hands_nothing_back_during_a_sweep() {
    let (policy, rests) = learnt_policy();
    // A sweep is within 3 points of centre for 9 or 10 frames; two more; then 5 to 7 frames of a spring that
    // overshoots by 6 points.
    assert!((ms(320)..=ms(380)).contains(&policy.dwell), "{}", policy.dwell);
    let sweep = |n: u32| swept([1020.0, 1990.0], n, 300);
    assert_eq!(handed_back(policy, rests, sweep), 0);
    let hasty = with!(policy, dwell: Duration::from_ticks(0));
    assert!(handed_back(hasty, rests, sweep) > 10);
    // Let go from the top every two seconds: two frames at the centre, 30 us past it for five frames, then at rest.
    let let_go = |n: u32| match n % 100 {
        0..=40 => 1990.0,
        43..=47 => 1475.0,
        _ => 1505.0,
    };
    assert_eq!(handed_back(policy, rests, let_go), 45, "once each time, when it has come to rest");
    assert!(handed_back(hasty, rests, let_go) > 60);
}

/// Given a noisy stick, when the engine itself flies with the recommended thresholds, then noise takes the craft no
/// more often than the target says. The target is raised to one takeover in 20 s.
#[test]
fn noise_takes_the_craft_no_more_often_than_targeted() {
    for (colour, rms) in
        [(Colour::White, 0.3), (Colour::White, 1.0), (Colour::Forgets(0.1), 0.4), (Colour::Sways(0.05), 0.8)]
    {
        let mut gimbal = Gimbal::new(21, colour, rms, (0.0, 1.0));
        let axis = gimbal.rest(16_384);
        let target = with!(usual(), apart: 20);
        let channels = Channels::<_, 1, 1>::pulses();
        let advice = Learnt { axes: [axis] }.recommend(&channels, AxisSet::first(1), &target).expect("a threshold");
        let channels = channels.check().expect("a good set-up");
        let rests = channels.frame(&[axis.centre]);
        let policy = with!(Policy::new([AxisRule::sprung()]), dwell: ms(0), fade: ms(0));
        let policy = advice.apply(policy, &rests).check().expect("a good policy");
        let mut engine = Engine::new(&policy);
        let (seconds, mut taken) = (40_000, 0);
        for n in 0..seconds * 50_u32 {
            let sticks = channels.frame(&[gimbal.pulse()]);
            let inputs = Inputs {
                instructor: Some(&sticks),
                student: Some(&Frame::CENTRE),
                lesson_switch: n > 5,
                ..Inputs::default()
            };
            let outcome = engine.step(Instant::from_ticks(n.wrapping_mul(20_000)), inputs);
            taken += u32::from(outcome.event.is_some_and(|event| matches!(event.cause, Cause::Stick(_))));
        }
        println!("{colour:?}, {rms} points: {taken} takeovers of {} wanted at most", seconds / 20);
        assert!(taken <= seconds / 20 && taken > 100, "{colour:?}: {taken}");
    }
}
