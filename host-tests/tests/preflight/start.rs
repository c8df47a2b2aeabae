//! Before the start and beside the sequence: throttles, signals, and people who do not do as they are asked.

use handback::preflight::{Action, Finding, Obstacle, Side};

use crate::healthy::four;
use crate::session::{Report, SIDES, Session};
use crate::transmitter::{Fault, in_points};

/// A session of which the last obstacle is what is in the way.
fn refused(report: &Report) -> Obstacle {
    assert!(report.ended.is_empty() && !report.done, "{:?}", report.ended);
    *report.obstacles.last().expect("something in the way")
}

fn throttle_up(report: &Report, side: Side, expected: f64) {
    let Obstacle::ThrottleUp { side: whose, axis: 2, by } = refused(report) else {
        panic!("{:?}", report.obstacles.last())
    };
    assert!(whose == side && (in_points(by) - expected).abs() < 1.0, "{whose:?} {by}");
}

/// Given a throttle that is up, when the check is to begin, then it does not begin and says whose throttle it is and
/// how far it is up.
#[test]
fn a_throttle_that_is_up_prevents_the_start() {
    for side in SIDES {
        for up in [11.0, 40.0, 198.0] {
            let mut session = Session::new(four(), 1);
            let stick =
                &mut if side == Side::Student { &mut session.student } else { &mut session.instructor }.sticks[2];
            (stick.at, stick.target) = (up - 100.0, up - 100.0);
            throttle_up(&session.run(), side, up);
        }
        // What looks like a throttle that is up: one that is reversed, short of its safe end, or on another's channel.
        throttle_up(&Session::new(four(), 1).with(&[Fault::Reversed(side, 2)]).run(), side, 199.99);
        throttle_up(&Session::new(four(), 1).with(&[Fault::Throw(side, 2, 0.8)]).run(), side, 20.0);
        throttle_up(&Session::new(four(), 1).with(&[Fault::Swapped(side, 2, 0)]).run(), side, 100.0);
    }
}

/// Given a throttle that was up, when it comes down, then the check begins.
#[test]
fn the_check_begins_when_the_throttle_comes_down() {
    let mut session = Session::new(four(), 1);
    (session.student.sticks[2].at, session.student.sticks[2].target) = (0.0, 0.0);
    let report = session.run_with(
        &mut |session, progress, seconds| {
            assert!(seconds > 3.0 || progress.step == Action::Start);
            if progress.step == Action::Start && seconds > 3.0 {
                let stick = &mut session.student.sticks[2];
                (stick.target, stick.speed) = (-100.0, 200.0);
            }
        },
        |outcome| outcome,
    );
    assert!(report.passed, "{:?}", report.findings);
}

/// Given a stick that is held or a signal that is missing, when the check is to begin, then it does not begin.
#[test]
fn a_held_stick_or_a_missing_signal_prevents_the_start() {
    for side in SIDES {
        let mut session = Session::new(four(), 1);
        let transmitter = if side == Side::Student { &mut session.student } else { &mut session.instructor };
        (transmitter.sticks[0].at, transmitter.sticks[0].target) = (30.0, 30.0);
        let Obstacle::StickAway { side: whose, axis: 0, .. } = refused(&session.run()) else { panic!() };
        assert_eq!(whose, side);

        let mut session = Session::new(four(), 1);
        if side == Side::Student { &mut session.student } else { &mut session.instructor }.on = false;
        assert_eq!(refused(&session.run()), Obstacle::NoSignal { side });
    }
}

/// Given a throttle that is left up, when it is the turn of another stick, then the throttle is named and its position
/// is never sent.
#[test]
fn a_throttle_that_is_left_up_is_named_and_never_sent() {
    // The second is up by 12 points, a little more than is safe.
    for (side, up) in SIDES.into_iter().flat_map(|side| [(side, -60.0), (side, -88.0)]) {
        // That the craft is sent the safe end all the time is held to in every step of every session.
        let report = Session::new(four(), 5).run_with(
            &mut |session, progress, _| {
                if progress.begun && progress.step == (Action::Return { side, axis: 1 }) {
                    let stick = &mut if side == Side::Student { &mut session.student } else { &mut session.instructor }
                        .sticks[2];
                    (stick.target, stick.speed) = (up, 300.0);
                }
                if progress.begun && progress.step.axis() == Some(2) {
                    let stick = &mut if side == Side::Student { &mut session.student } else { &mut session.instructor }
                        .sticks[2];
                    (stick.target, stick.speed) = (-100.0, 300.0);
                }
            },
            |outcome| outcome,
        );
        assert!(
            report
                .findings
                .iter()
                .any(|finding| matches!(finding, Finding::ThrottleUp { side: whose, axis: 2, .. } if *whose == side))
        );
    }
}

/// Given sticks that do not move, when the check asks for movements, then every step ends and the finding says what
/// was not seen.
#[test]
fn steps_without_a_movement_end_and_are_reported() {
    let mut session = Session::new(four(), 1);
    for stick in session.student.sticks.iter_mut().chain(&mut session.instructor.sticks) {
        stick.dead = true;
        // A dead channel of a throttle stays at its safe end.
        (stick.rest, stick.unsprung) = (stick.rest, false);
    }
    let report = session.run();
    assert!(report.done, "{:?}", report.ended.last());
    let dead = report.findings.iter().filter(|finding| matches!(finding, Finding::DoesNotMove { .. })).count();
    assert_eq!(dead, 8);
    assert_eq!(report.findings.len(), 8, "{:?}", report.findings);
}

/// Given a signal that fails, when no step asked for that, then its side is named.
#[test]
fn a_signal_that_fails_unasked_is_named_with_its_side() {
    for side in SIDES {
        let report = Session::new(four(), 1).run_with(
            &mut |session, progress, seconds| {
                let off = (8.0..8.6).contains(&seconds);
                let transmitter = if side == Side::Student { &mut session.student } else { &mut session.instructor };
                if !matches!(progress.step, Action::LinkOff | Action::LinkOn) {
                    transmitter.on = !off;
                }
            },
            |outcome| outcome,
        );
        assert_eq!(report.findings, [Finding::SignalLost { side }]);
    }
}
