//! Recommended thresholds hold the target, and are not much larger than they must be.

use handback::calibrate::{AxisAdvice, Basis, Bounds, Learnt, LearntAxis, Target};
use handback::{AxisSet, Channels, Deflection, Duration, Micros};
use handback_host_tests::{Watch, with};

use crate::gimbal::{Colour, Gimbal, RATE};

/// The first seed of these sticks. Sticks of other seeds were looked at while the recommendation was made.
const FIRST_SEED: u64 = 1000;

fn in_points(deflection: Deflection) -> f64 {
    f64::from(deflection.to_bits()) / 163.84
}

/// The thresholds of the stick, if a rate is claimed for them.
fn claimed(learnt: LearntAxis<Micros>, target: &Target) -> Option<AxisAdvice> {
    let channels = Channels::<_, 1, 1>::new([learnt.channel(0)]);
    let advice = Learnt { axes: [learnt] }.recommend(&channels, AxisSet::first(1), target).ok()?.axes[0]?;
    (advice.basis == Basis::Rate).then_some(advice)
}

/// Given a hundred sticks for which a rate is claimed, each at rest for five and a half minutes, when each flies for
/// 150 times the targeted time between two takeovers (1667 hours together), then the target is held, and a threshold a
/// sixth smaller would not hold it. The target is raised from one takeover in 100 hours to one in 400 s, where events
/// can be counted.
#[test]
fn claimed_thresholds_hold_the_target_and_are_tight() {
    let bounds = Bounds { least: Deflection::from_bits(1), aim: Deflection::from_points(2), most: Deflection::MAX };
    let target = with!(Target::new(Duration::from_millis(20)), apart: 400, sprung: bounds);
    let (mut held, mut tight, mut passed_over) = (0, 0, 0);
    let mut seeds = FIRST_SEED..;
    for _ in 0..100 {
        let (mut stick, learnt, advice) = loop {
            let mut stick = Gimbal::any(seeds.next().expect("seeds do not end"));
            let learnt = stick.rest(16_384);
            match claimed(learnt, &target) {
                Some(advice) => break (stick, learnt, advice),
                None => passed_over += 1,
            }
        };
        let centre = (f64::from(learnt.centre.to_bits()) - 24_000.0) / 80.0;
        let [engage, release] = [advice.engage, advice.release].map(in_points);
        let mut as_advised = Watch::new(engage, release, advice.confirm);
        let mut smaller = Watch::new(engage / 1.2, release.min(engage / 1.21), advice.confirm);
        for _ in 0..150 * 400 * RATE {
            let off = (stick.points() - centre).abs();
            as_advised.see(off);
            smaller.see(off);
        }
        held += u32::from(as_advised.takeovers <= 150);
        tight += u32::from(smaller.takeovers > 150);
    }
    println!(
        "of 100 sticks {held} hold the target and {tight} would not with a sixth less; {passed_over} were passed over"
    );
    // Half of all sticks drift, most of them by more than a twentieth of their noise: no rate is claimed for these.
    assert!(passed_over < 100, "{passed_over}");
    assert!(held >= 95 && tight >= 95, "{held} of 100 sticks hold the target, {tight} would not with a sixth less");
}

/// Given short rests, when the noise in them looks smaller than it is, then the target is held in at least 92 % of
/// them. Thresholds are made for noise one and a half standard errors larger than measured; the true noise exceeds
/// that in 1 of 15 rests.
#[test]
fn short_rests_that_understate_noise_hold_the_target() {
    let target = Target::new(Duration::from_millis(20));
    let (rms, mut held, mut known) = (0.25, 0, 0);
    for seed in 4000..4400 {
        let learnt = Gimbal::new(seed, Colour::White, rms, (0.0, 1.0)).rest(6000);
        let advice = Learnt { axes: [learnt] }.recommend(&Channels::<_, 1, 1>::pulses(), AxisSet::first(1), &target);
        let Ok(advice) = advice else { continue };
        let advice = advice.axes[0].expect("watched");
        assert_eq!(advice.confirm, 1);
        // White noise passes the threshold with probability 2 Q(engage / rms) in a frame.
        let often = 2.0 * crate::normal::tail(in_points(advice.engage) / rms);
        known += 1;
        held += u32::from(often * f64::from(RATE) * 360_000.0 <= 1.0);
    }
    println!("of {known} short rests {held} lead to thresholds that hold the target");
    assert!(known > 300 && held * 100 >= known * 92, "{held} of {known}");
}

/// Given a stick without a spring, when it is left, then its readings stay within `release` of the first for the half
/// second after which a stick is at rest (R2).
#[test]
fn noise_does_not_keep_a_left_stick_from_coming_to_rest() {
    for (seed, colour) in (5000..).zip([Colour::White, Colour::Forgets(0.1), Colour::Sways(0.05)]) {
        let mut stick = Gimbal::new(seed, colour, 0.6, (0.0, 1.0));
        let learnt = LearntAxis { sprung: false, ..stick.rest(16_384) };
        let channels = Channels::<_, 1, 1>::pulses();
        // Small thresholds, by confirm: half of `engage` would be too little.
        let usual = Target::new(Duration::from_millis(20));
        let target = with!(usual, unsprung: with!(usual.unsprung, aim: Deflection::from_points(2)));
        let advice = Learnt { axes: [learnt] }.recommend(&channels, AxisSet::first(1), &target).expect("thresholds");
        let release = in_points(advice.axes[0].expect("watched").release);
        let mut stays = 0;
        for _ in 0..1000 {
            let first = stick.points();
            stays += u32::from((1..RATE / 2).filter(|_| (stick.points() - first).abs() > release).count() == 0);
        }
        println!("{colour:?}: {stays} of 1000 stays last");
        assert!(stays >= 930, "{colour:?}: {stays} of 1000");
    }
}

/// Given sticks without a spring, when they are left again every ten seconds and rest at the one noisy reading of that
/// frame, then the target is held.
#[test]
fn sticks_that_rest_where_they_are_left_hold_the_target() {
    let bounds = Bounds { least: Deflection::from_bits(1), aim: Deflection::from_points(2), most: Deflection::MAX };
    let target = with!(Target::new(Duration::from_millis(20)), apart: 400, unsprung: bounds);
    let mut confirms = Vec::new();
    for seed in 2000..2040 {
        let mut stick = Gimbal::any(seed);
        stick.drift.0 /= 4.0; // it drifts a little while it lies there
        let learnt = LearntAxis { sprung: false, ..stick.rest(16_384) };
        let Some(advice) = claimed(learnt, &target) else { continue };
        let [engage, release] = [advice.engage, advice.release].map(in_points);
        let mut watch = Watch::new(engage, release, advice.confirm);
        for _ in 0..150 * 400 / 10 {
            let rest = stick.points();
            (0..10 * RATE).for_each(|_| watch.see((stick.points() - rest).abs()));
        }
        assert!(watch.takeovers <= 150, "stick {seed}, {:?}: {} takeovers", stick.colour, watch.takeovers);
        confirms.push(advice.confirm);
    }
    assert!(confirms.len() >= 20 && [1, 3].iter().all(|confirm| confirms.contains(confirm)), "{confirms:?}");
}

/// Given the default target, one takeover in 100 hours of four axes, when one set of sticks flies for 100 hours and
/// another for 200, then noise takes the craft no more often than targeted.
#[test]
fn the_default_target_holds_for_hundreds_of_hours() {
    let target = Target::new(Duration::from_millis(20));
    let mut takeovers = 0;
    for (hours, colours) in [
        (100, [(Colour::White, 0.3), (Colour::White, 0.5), (Colour::White, 1.0), (Colour::White, 1.4)]),
        (
            200,
            [
                (Colour::Forgets(0.02), 0.3),
                (Colour::Forgets(0.1), 0.6),
                (Colour::Sways(0.03), 0.8),
                (Colour::Both(0.1), 1.0),
            ],
        ),
    ] {
        let mut seed = 3000;
        let mut sticks = colours.map(|(colour, rms)| {
            seed += 1;
            Gimbal::new(seed, colour, rms, (0.0, 1.0))
        });
        let learnt = Learnt { axes: sticks.each_mut().map(|stick| stick.rest(16_384)) };
        let channels = Channels::<_, 4, 4>::pulses();
        let advice = learnt.recommend(&channels, AxisSet::first(4), &target).expect("thresholds");
        for ((stick, axis), advice) in sticks.iter_mut().zip(&learnt.axes).zip(advice.axes) {
            let advice = advice.expect("watched");
            println!("{:?} {} points: {advice:?}", stick.colour, stick.rms);
            let centre = (f64::from(axis.centre.to_bits()) - 24_000.0) / 80.0;
            let mut watch = Watch::new(in_points(advice.engage), in_points(advice.release), advice.confirm);
            (0..hours * 3600 * RATE).for_each(|_| watch.see((stick.points() - centre).abs()));
            takeovers += watch.takeovers;
        }
    }
    // Three are targeted in 300 hours; were there three on average, more than 5 would be seen in one of 12 runs like
    // this.
    println!("{takeovers} takeovers in 300 hours");
    assert!(takeovers <= 5, "{takeovers}");
}
