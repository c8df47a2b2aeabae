//! What holds a check up: at its start, at a hand-back, at a gate; and what it does once it is over or its list is full.

use std::cell::Cell;

use handback::preflight::{Action, Finding, Obstacle, Preflight, Side, Verdict};
use handback::{AxisRule, AxisSet, Engine, Frame, Inputs, Instant, Outcome, Pilot, Policy, Waiting};
use handback_host_tests::{around, axes, points, units, us, with};

use crate::healthy::four;
use crate::session::{Report, SIDES, Session};
use crate::transmitter::Fault;

/// How this action ended.
fn verdict(report: &Report, action: Action) -> Verdict {
    report.ended.iter().find(|(step, _)| *step == action).unwrap_or_else(|| panic!("{:#?}", report.ended)).1
}

/// Given a bench at rest, when the switch is on or the button is pressed, then that is in the way; when neither is, then the
/// check begins.
#[test]
fn switch_and_button_prevent_the_start() {
    let policy = four().check().expect("a good policy");
    let (mut engine, mut preflight) = (Engine::new(&policy), Preflight::new(&policy));
    let frame = Frame::new([0, 0, -100, 0].map(points));
    for n in 0..250 {
        let (lesson_switch, instructor_now) = (n < 150, n < 200);
        let inputs = Inputs { instructor: Some(&frame), student: Some(&frame), lesson_switch, instructor_now };
        let outcome = engine.step(Instant::from_ticks(n * 20_000), inputs);
        let progress = preflight.step(inputs, &outcome);
        // The link qualifies and the sticks are still within three seconds.
        let expected = match n {
            149 => Some(Obstacle::SwitchOn),
            199 => Some(Obstacle::ButtonPressed),
            249 => None,
            _ => continue,
        };
        assert_eq!(progress.obstacle, expected, "step {n}");
        assert_eq!((preflight.asked() == Action::Start, preflight.untold()), (n < 200, 0));
    }
}

/// Given a stick that goes to and fro, when it moves by three points, then it is still and the check begins; when it moves
/// by one unit more, then it is not.
#[test]
fn a_stick_is_still_within_three_points() {
    let policy = four().check().expect("a good policy");
    for (more, expected) in [(0, None), (1, Some(Obstacle::NotStill))] {
        let (mut engine, mut preflight) = (Engine::new(&policy), Preflight::new(&policy));
        let ways = [units(0), around(points(3), more)];
        let mut obstacle = None;
        for n in 0..150 {
            let frame = Frame::new([ways[n % 2], units(0), points(-100), units(0)]);
            let inputs = Inputs { instructor: Some(&frame), student: Some(&frame), ..Inputs::default() };
            let now = Instant::from_ticks(u32::try_from(n).expect("small") * 20_000);
            obstacle = preflight.step(inputs, &engine.step(now, inputs)).obstacle;
        }
        assert_eq!(obstacle, expected, "{more} units more than three points");
    }
}

/// Given a policy that shares nothing and a student whose transmitter goes off, when the check runs, then it is through after
/// the instructor's sticks, and stays so; the student's signal is not missed.
#[test]
fn a_check_that_shares_nothing_needs_no_student() {
    let policy = with!(four(), shared: AxisSet::EMPTY);
    let mut session = Session::new(policy, 1);
    session.student.on = false;
    let report = session.run_with(
        &mut |session, progress, seconds| session.student.on = progress.step != Action::Start && seconds < 8.0,
        |outcome| outcome,
    );
    assert!(report.passed, "{:?}", report.findings);
    assert!(report.ended.iter().all(|(step, _)| step.side() != Some(Side::Student)), "{:?}", report.ended);
}

/// Given a check that is over, when more steps come, then it asks for nothing, finds nothing and goes on to keep the
/// throttle safe.
#[test]
fn a_check_that_is_over_stays_over() {
    // One stick that nobody shares: five steps are the check.
    let policy = with!(Policy::new([AxisRule::sprung(), AxisRule::unsprung(points(-100))]), shared: AxisSet::EMPTY, watched: axes(&[0]));
    let policy = policy.check().expect("a good policy");
    let (mut engine, mut preflight) = (Engine::new(&policy), Preflight::new(&policy));
    let (mut at, mut over) = (0, 0);
    for n in 0..2000 {
        at = match preflight.asked() {
            Action::Move { end, .. } => {
                if end == handback::preflight::End::Positive {
                    100
                } else {
                    -100
                }
            }
            Action::Return { .. } => 0,
            _ => at,
        };
        let up = if preflight.asked() == Action::Done { 50 } else { -100 };
        let frame = Frame::new([at, up].map(points));
        let inputs = Inputs { instructor: Some(&frame), ..Inputs::default() };
        let outcome = engine.step(Instant::from_ticks(n * 20_000), inputs);
        let was_over = preflight.asked() == Action::Done;
        let progress = preflight.step(inputs, &outcome);
        if was_over {
            over += 1;
            assert_eq!((progress.step, progress.begun && over > 1, progress.ended), (Action::Done, false, None));
            assert_eq!(progress.output.get(1), Some(points(-100)));
        }
    }
    assert!(over > 1000 && preflight.passed(), "{over} steps after the end: {:?}", preflight.findings());
}

/// Given an instructor who does not let the stick go, when it must go back, then its distance is named: a throttle as one
/// that is up, another stick as one off its centre.
#[test]
fn a_stick_that_is_not_let_go_is_named_at_the_hand_back() {
    for (axis, place) in [(0, 30.0), (2, -40.0)] {
        let step = Action::HandBack { axis };
        let report = Session::new(four(), 3).run_with(
            &mut |session, progress, _| {
                if progress.step == step {
                    let stick = &mut session.instructor.sticks[usize::from(axis)];
                    (stick.target, stick.speed) = (place, 300.0);
                }
            },
            |outcome| outcome,
        );
        match verdict(&report, step) {
            Verdict::Failed(Finding::CentreOff { side: Side::Instructor, axis: 0, by }) if axis == 0 => {
                assert!((29.0..31.0).contains(&crate::transmitter::in_points(by)), "{by}");
            }
            Verdict::Failed(Finding::ThrottleUp { side: Side::Instructor, axis: 2, by }) if axis == 2 => {
                assert!((59.0..61.0).contains(&crate::transmitter::in_points(by)), "{by}");
            }
            other => panic!("{other:?}"),
        }
    }
}

/// Given a stick that is back, when the engine's outcome says that it is still held, then the hand-back was not seen.
#[test]
fn a_stick_that_stays_held_is_not_seen_to_go_back() {
    let step = Action::HandBack { axis: 1 };
    let asked = Cell::new(Action::Start);
    let report = Session::new(four(), 3).run_with(&mut |_, progress, _| asked.set(progress.step), |outcome| {
        let held = if asked.get() == step { outcome.held.with(1) } else { outcome.held };
        Outcome { held, ..outcome }
    });
    assert_eq!(verdict(&report, step), Verdict::Failed(Finding::NotSeen { step }));
}

/// Given a craft that is not handed over, when the durations of the policy and one second more are over, then that is the
/// finding, and in no earlier step; a craft that is handed over in the step before passes.
#[test]
fn a_hand_over_may_take_a_second_more_than_the_policy() {
    let policy = four();
    let limit = (policy.settle + policy.dwell + policy.requalify).as_ticks() + 1_000_000;
    let waiting = Some(Waiting::Dwell { left: us(0) });
    for in_time in [false, true] {
        let (asked, over) = (Cell::new(Action::Start), Cell::new(None));
        // The last step with the switch off, and this step, from there in microseconds.
        let (off, on, step) = (Cell::new(0), Cell::new(0), Cell::new(0));
        let report = Session::new(policy, 3).run_with(
            &mut |_, progress, _| {
                if matches!(progress.ended, Some((Action::HandOver, _))) {
                    over.set(Some(on.get()));
                }
                asked.set(progress.step);
            },
            |outcome| {
                let at = outcome.at.as_ticks();
                if asked.get() != Action::HandOver || outcome.waiting == Some(Waiting::Switch) {
                    off.set(at);
                    return outcome;
                }
                step.set(at.wrapping_sub(off.get()) - on.replace(at.wrapping_sub(off.get())));
                if in_time && on.get() + step.get() > limit {
                    return outcome;
                }
                Outcome { pilot: Pilot::Instructor, waiting, event: None, ..outcome }
            },
        );
        let (over, step) = (over.get().expect("an end"), step.get());
        if in_time {
            assert_eq!(verdict(&report, Action::HandOver), Verdict::Passed);
            assert!((limit - step..=limit).contains(&over), "{over} of {limit} us");
        } else {
            assert_eq!(verdict(&report, Action::HandOver), Verdict::Failed(Finding::NotHandedOver { waiting }));
            assert!((limit + 1..=limit + step).contains(&over), "{over} of {limit} us");
        }
    }
}

/// Given a centre that is off and was named, when the engine waits for that stick at a hand-back, or for its gate at the
/// hand-over, then the earlier finding is the reason.
#[test]
fn a_known_fault_is_the_reason_of_what_it_prevents() {
    // The stick is held on: the engine waits for it, and its centre was off before.
    let wide = with!(AxisRule::sprung(), engage: points(8), release: points(7));
    let step = Action::HandBack { axis: 0 };
    let report = Session::new(Policy::new([wide; 3]), 1).with(&[Fault::Centre(Side::Instructor, 0, 5.0)]).run_with(
        &mut |session, progress, _| {
            if progress.step == step {
                (session.instructor.sticks[0].target, session.instructor.sticks[0].speed) = (30.0, 300.0);
            }
        },
        |outcome| outcome,
    );
    let Verdict::Prevented(Finding::CentreOff { side: Side::Instructor, axis: 0, .. }) = verdict(&report, step) else {
        panic!("{:?}", report.ended)
    };

    // The gate of a stick whose centre is off stays closed.
    for side in SIDES {
        let gated = with!(wide, window: Some(points(0)));
        let off = [Fault::Centre(side, 0, 5.0)];
        let report = Session::new(Policy::new([gated, wide, wide]), 1).with(&off).run();
        let Verdict::Prevented(Finding::CentreOff { side: whose, axis: 0, .. }) = verdict(&report, Action::HandOver)
        else {
            panic!("{:?}", report.ended)
        };
        assert_eq!(whose, side);
    }

    // So does the gate of a throttle that was left up.
    let mut gated = four();
    gated.axes[2].window = Some(points(5));
    let report = Session::new(gated, 1).run_with(
        &mut |session, progress, _| {
            if progress.step == Action::HandOver {
                (session.student.sticks[2].target, session.student.sticks[2].speed) = (-60.0, 300.0);
            }
        },
        |outcome| outcome,
    );
    let Verdict::Prevented(Finding::ThrottleUp { side: Side::Student, axis: 2, .. }) =
        verdict(&report, Action::HandOver)
    else {
        panic!("{:?}", report.ended)
    };
}

/// Given a watched stick that moves an axis which is not watched, when a takeover is asked for, then the swap is the reason
/// why there is none.
#[test]
fn a_swap_with_an_unwatched_axis_prevents_its_takeover() {
    for (watched, asked) in [([0, 1, 2], 1), ([0, 2, 3], 3)] {
        let policy = with!(four(), watched: axes(&watched));
        let report = Session::new(policy, 1).with(&[Fault::Swapped(Side::Instructor, 1, 3)]).run();
        let Verdict::Prevented(Finding::Swapped { side: Side::Instructor, axis: 1, with: 3 }) =
            verdict(&report, Action::TakeOver { axis: asked })
        else {
            panic!("{:?}", report.ended)
        };
    }
}

/// Given more faults than the list holds, when the bench is checked, then the first 48 are kept and the others are counted.
#[test]
fn faults_past_the_48th_are_counted() {
    let wide = with!(AxisRule::sprung(), engage: points(8), release: points(7));
    let mut faults = Vec::new();
    for (side, axis) in SIDES.into_iter().flat_map(|side| (0..16).map(move |axis| (side, axis))) {
        faults.extend([Fault::Reversed(side, axis), Fault::Centre(side, axis, 5.0)]);
    }
    let report = Session::new(Policy::new([wide; 16]), 1).with(&faults).run();
    assert!(report.done && !report.passed);
    assert_eq!((report.findings.len(), report.untold), (48, 64 - 48));
    assert!(report.findings.iter().all(|finding| faults.iter().any(|fault| fault.is_named_by(finding))));
}
