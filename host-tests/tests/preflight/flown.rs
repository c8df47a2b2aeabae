//! A box that flies something else than the check goes by: each rule that is broken is named.

use handback::preflight::Finding;
use handback::{Cause, Latches, Pilot, Policy, Rest, Waiting};
use handback_host_tests::{axes, ms, points};

use crate::healthy::four;
use crate::session::{Report, Session};

fn flown(seed: u64, change: impl FnOnce(&mut Policy<4>)) -> Report {
    let report = Session::new(four(), seed).flown(change).run();
    assert!(report.done && !report.passed, "{:?}", report.ended.last());
    report
}

fn has(report: &Report, wanted: impl Fn(&Finding) -> bool) {
    assert!(report.findings.iter().any(wanted), "{:#?}", report.findings);
}

/// Rules: T1
#[test]
fn given_another_engage_when_a_stick_moves_then_where_it_took_over_is_told() {
    for seed in 0..20 {
        let report = flown(seed, |p| (p.axes[1].engage, p.axes[1].release) = (points(9), points(1)));
        has(&report, |f| matches!(f, Finding::NotAtThreshold { axis: 1, seen, .. } if *seen > points(2)));
        let mut policy = four();
        policy.axes[1].engage = points(9);
        let report = Session::new(policy, seed).flown(|p| p.axes[1].engage = points(2)).run();
        has(
            &report,
            |f| matches!(f, Finding::TookOverAt { axis: 1, seen, .. } if *seen > points(2) && *seen <= points(9)),
        );
    }
}

/// Rules: T1
#[test]
fn given_another_confirm_when_a_stick_moves_then_the_frames_are_told() {
    let report = flown(1, |p| p.axes[0].confirm = 2);
    has(&report, |f| matches!(f, Finding::NotAtThreshold { axis: 0, confirm: 1, .. }));
    let mut policy = four();
    policy.axes[0].confirm = 3;
    let report = Session::new(policy, 1).flown(|p| p.axes[0].confirm = 2).run();
    has(&report, |f| matches!(f, Finding::TookOverAt { axis: 0, frames: 2, confirm: 3, .. }));
}

/// Rules: T3
#[test]
fn given_another_release_when_a_stick_comes_back_then_where_it_let_go_is_told() {
    for seed in 0..20 {
        let mut policy = four();
        (policy.axes[3].engage, policy.axes[3].release) = (points(9), points(8));
        // The spring brings it back so fast that many a frame is needed to see it between the two.
        let slow = Session::new(policy, seed).flown(|p| p.axes[3].release = points(0)).run();
        has(&slow, |f| matches!(f, Finding::LetGoAt { axis: 3, seen, .. } if *seen <= points(8)));
    }
    let mut policy = four();
    (policy.axes[3].engage, policy.axes[3].release) = (points(30), points(1));
    let report = Session::new(policy, 1).flown(|p| p.axes[3].release = points(29)).run();
    has(&report, |f| matches!(f, Finding::LetGoAt { axis: 3, seen, .. } if *seen > points(1)));
}

/// Rules: R2
#[test]
fn given_another_still_when_the_throttle_is_left_then_how_long_it_stayed_is_told() {
    let report = flown(1, |p| p.axes[2].rest = Rest::WhereLeft { still: ms(200) });
    has(&report, |f| matches!(f, Finding::LetGoAfter { axis: 2, seen, .. } if *seen < ms(500)));
    let report = flown(1, |p| p.axes[2].rest = Rest::WhereLeft { still: ms(900) });
    has(&report, |f| matches!(f, Finding::LetGoAfter { axis: 2, seen, .. } if *seen >= ms(500)));
}

/// Rules: H1
#[test]
fn given_a_shorter_dwell_when_the_craft_goes_back_then_that_is_too_soon() {
    for shorter in [100, 250] {
        let report = flown(1, |p| p.dwell = ms(shorter));
        has(&report, |f| matches!(f, Finding::HandedTooSoon { seen, dwell } if *seen < ms(300) && *dwell == ms(300)));
    }
}

/// Rules: L2
#[test]
fn given_a_shorter_requalify_when_the_student_is_back_then_the_craft_goes_back_too_soon() {
    let mut policy = four();
    policy.off_first_after_loss = false;
    let report = Session::new(policy, 1).flown(|p| p.requalify = ms(0)).run();
    assert_eq!(report.findings, [Finding::HandedTooSoon { seen: ms(0), dwell: ms(300) }]);
}

/// Rules: L1
#[test]
fn given_a_longer_timeout_when_the_student_is_off_then_the_craft_is_kept_for_too_long() {
    let report = flown(1, |p| p.timeout = ms(600));
    assert_eq!(report.findings, [Finding::NotTaken { by: Cause::LinkLost }]);
}

/// Rules: S2, H2
#[test]
fn given_nothing_that_keeps_the_craft_when_the_policy_has_it_kept_then_that_is_named() {
    let report = flown(1, |p| p.axes[2].keep = false);
    assert_eq!(report.findings, [Finding::NotKept { by: Cause::Stick(2) }]);
    let report = flown(1, |p| p.off_first_after_loss = false);
    assert_eq!(report.findings, [Finding::NotKept { by: Cause::LinkLost }]);
}

/// Rules: H2
#[test]
fn given_a_latch_that_the_policy_has_not_when_a_stick_is_let_go_then_what_is_missing_is_told() {
    let report = flown(1, |p| p.latches = Latches { lasted: Some(ms(100)), beyond: None });
    has(&report, |f| *f == Finding::NotHandedOver { waiting: Some(Waiting::Latch) });
    let mut policy = four();
    policy.off_first_after_loss = false;
    let report = Session::new(policy, 1).flown(|p| p.off_first_after_loss = true).run();
    assert_eq!(report.findings, [Finding::NotHandedOver { waiting: Some(Waiting::SwitchOffFirst) }]);
}

/// Rules: H3
#[test]
fn given_a_gate_that_the_policy_has_not_when_the_switch_is_on_then_the_gate_is_named() {
    let report = Session::new(four(), 1)
        .flown(|p| p.axes[0].window = Some(points(0)))
        .run_with(&mut |session, _, _| session.student.sticks[0].off = 2.0, |outcome| outcome);
    assert_eq!(report.findings, [Finding::NotHandedOver { waiting: Some(Waiting::Gate(0)) }]);
}

/// Rules: T2, T4
#[test]
fn given_a_box_that_does_not_take_the_craft_when_it_must_then_what_was_to_take_it_is_named() {
    let everything = Pilot::Student(axes(&[0, 1, 2, 3]));
    let mut got = false;
    let report = Session::new(four(), 1).run_with(&mut |_, _, _| {}, |mut outcome| {
        // Once the student has the craft, the box says so for ever.
        got |= outcome.pilot == everything;
        if got {
            outcome.pilot = everything;
        }
        outcome
    });
    for by in [Cause::Stick(0), Cause::Stick(2), Cause::SwitchOff, Cause::LinkLost, Cause::InstructorNow] {
        has(&report, |f| *f == Finding::NotTaken { by });
    }
}
