//! A sound bench passes, whatever its policy says.

use handback::preflight::{Action, End, Side, Verdict};
use handback::{AxisRule, AxisSet, Cause, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer};
use handback_host_tests::{axes, ms, points, sprung, unsprung, us, with};

use crate::session::{Report, Session, named};

/// Aileron, elevator, throttle, rudder.
pub(crate) fn four() -> Policy<4> {
    let stick = AxisRule::sprung();
    Policy::new([stick, stick, unsprung(), stick])
}

/// The same with a collective that is safe in the middle, a throttle that is parked high, and two switches that nobody
/// watches or shares.
fn eight() -> Policy<8> {
    let stick = with!(AxisRule::sprung(), confirm: 2);
    let collective = with!(AxisRule::unsprung(points(0)), keep: false);
    let high = with!(AxisRule::unsprung(points(100)), rest: Rest::At(points(100)), transfer: Transfer::Snap);
    let mut policy = Policy::new([stick, stick, unsprung(), stick, collective, high, stick, stick]);
    policy.watched = axes(&[0, 1, 2, 3, 4]);
    policy.shared = axes(&[0, 1, 2, 3, 4, 5]);
    policy
}

/// Every policy that is tried, by name.
fn policies() -> Vec<(&'static str, Policy<4>)> {
    let with = |change: fn(&mut Policy<4>)| {
        let mut policy = four();
        change(&mut policy);
        policy
    };
    vec![
        ("default", four()),
        ("sprung", sprung()),
        ("axis", with(|p| p.scope = Scope::Axis)),
        ("confirm 3", with(|p| p.axes.iter_mut().for_each(|rule| rule.confirm = 3))),
        (
            "confirm 2, axis",
            with(|p| {
                p.scope = Scope::Axis;
                p.axes.iter_mut().for_each(|rule| rule.confirm = 2);
            }),
        ),
        ("all keep", with(|p| p.axes.iter_mut().for_each(|rule| rule.keep = true))),
        ("none keeps", with(|p| p.axes.iter_mut().for_each(|rule| rule.keep = false))),
        ("lasted", with(|p| p.latches = Latches { lasted: Some(ms(700)), beyond: None })),
        ("beyond", with(|p| p.latches = Latches { lasted: None, beyond: Some(points(9)) })),
        (
            "axis, latches",
            with(|p| {
                p.scope = Scope::Axis;
                p.latches = Latches { lasted: Some(ms(900)), beyond: Some(points(15)) };
            }),
        ),
        ("no off first after a loss", with(|p| p.off_first_after_loss = false)),
        ("slow", with(|p| (p.dwell, p.settle, p.requalify) = (ms(2000), ms(100), ms(3000)))),
        ("at once", with(|p| (p.dwell, p.settle, p.requalify, p.fade) = (ms(0), us(1), ms(0), ms(0)))),
        ("gates", with(|p| p.axes.iter_mut().for_each(|rule| rule.window = Some(points(5))))),
        ("throttle not shared", with(|p| p.shared = axes(&[0, 1, 3]))),
        ("rudder not watched", with(|p| p.watched = axes(&[0, 1, 2]))),
        ("rests off centre", with(|p| p.axes[0].rest = Rest::At(points(7)))),
        ("throttle parked", with(|p| p.axes[2].rest = Rest::At(points(-100)))),
        ("nothing shared", with(|p| p.shared = AxisSet::EMPTY)),
        ("still at once", with(|p| p.axes[2].rest = Rest::WhereLeft { still: Duration::from_ticks(0) })),
        ("a long still", with(|p| p.axes[2].rest = Rest::WhereLeft { still: ms(3000) })),
    ]
}

fn passes(name: &str, report: &Report) {
    let failed: Vec<_> = report.ended.iter().filter(|(_, verdict)| *verdict != Verdict::Passed).collect();
    assert!(failed.is_empty(), "{name}: {failed:#?}");
    named(&[], report);
}

/// Given a sound bench, when it is checked, then it passes whatever the policy says.
/// Rules: T1, T2, T3, T4, T5, T7, R2, S2, S3, H1, H2, L1, L2, L3
#[test]
fn a_sound_bench_passes_with_every_policy() {
    for (name, policy) in policies() {
        for seed in 0..12 {
            passes(name, &Session::new(policy, seed).run());
        }
    }
    for seed in 0..12 {
        passes("eight", &Session::new(eight(), seed).run());
        passes("one", &Session::new(sprung::<1>(), seed).run());
    }
}

/// Given the default policy, when the check runs, then the steps are those that this policy needs, in less than two
/// minutes.
#[test]
fn the_steps_follow_from_the_policy() {
    let report = Session::new(four(), 1).run();
    let steps: Vec<_> = report.ended.iter().map(|(step, _)| *step).collect();
    let mut expected = vec![Action::Start];
    for axis in 0..4 {
        for side in [Side::Student, Side::Instructor] {
            expected.push(Action::Move { side, axis, end: End::Positive });
            if axis != 2 {
                expected.push(Action::Move { side, axis, end: End::Negative });
            }
            expected.push(Action::Return { side, axis });
        }
    }
    expected.push(Action::HandOver);
    for axis in 0..4 {
        expected.extend([Action::TakeOver { axis }, Action::HandBack { axis }]);
        if axis == 2 {
            expected.push(Action::Again { after: Cause::Stick(2) });
        }
    }
    expected.extend([Action::Again { after: Cause::SwitchOff }, Action::LinkOff, Action::LinkOn]);
    expected.extend([Action::Again { after: Cause::LinkLost }, Action::Press]);
    expected.extend([Action::Again { after: Cause::InstructorNow }, Action::Finish]);
    assert_eq!(steps, expected);
    assert!(report.seconds < 120.0, "{}", report.seconds);
}

/// Given axes that are neither watched nor shared, when the check runs, then nobody is asked to move them.
#[test]
fn unwatched_and_unshared_axes_are_not_checked() {
    let report = Session::new(eight(), 3).run();
    let asked: AxisSet = AxisSet::of(&report.ended.iter().filter_map(|(step, _)| step.axis()).collect::<Vec<_>>());
    assert_eq!(asked, axes(&[0, 1, 2, 3, 4, 5]));
    let takes: Vec<_> = report.ended.iter().filter(|(step, _)| matches!(step, Action::TakeOver { .. })).collect();
    assert_eq!(takes.len(), 5, "the watched ones");
    // A throttle that is parked high goes down first.
    assert!(
        report
            .ended
            .iter()
            .any(|(step, _)| { *step == Action::Move { side: Side::Instructor, axis: 5, end: End::Negative } })
    );
    assert_eq!(report.ended.iter().filter(|(step, _)| step.axis() == Some(5)).count(), 4);
}

/// Given a box without a button, when the check runs, then nobody is asked to press it.
#[test]
fn a_box_without_a_button_is_not_asked_for_it() {
    let mut session = Session::new(four(), 1);
    session.button = false;
    let report = session.run();
    named(&[], &report);
    assert!(report.ended.iter().all(|(step, _)| *step != Action::Press));
}

/// Given a noisy transmitter, when its noise is below `release`, then it passes.
#[test]
fn noise_below_the_release_passes() {
    for seed in 0..20 {
        let mut session = Session::new(four(), seed);
        (session.student.noise, session.instructor.noise) = (0.8, 0.8);
        named(&[], &session.run());
    }
    assert_eq!(AxisRule::sprung().release, Deflection::from_points(1));
}

/// Given a box that sees the instructor's sticks apart from the channels, as further axes that are watched and never
/// shared, when a stick moves both axes, then neither is taken for the other, even where the other goes further.
#[test]
fn a_stick_seen_on_two_axes_is_not_taken_for_swapped() {
    let mut policy: Policy<5> = sprung();
    policy.shared = axes(&[0, 1, 2, 3]);
    let report = Session::new(policy, 2).run_with(
        &mut |session, progress, _| {
            let sticks = &mut session.instructor.sticks;
            let (moved, follows, by) = if progress.step.axis() == Some(4) { (4, 0, 1.25) } else { (0, 4, 1.25) };
            let at = sticks[moved].at * by;
            (sticks[follows].at, sticks[follows].target) = (at, at);
        },
        |outcome| outcome,
    );
    passes("seen twice", &report);
}
