//! A box that flies another policy than it is said to: the monitor names each rule that is broken in the same bench session.

use handback::preflight::{Action, Finding};
use handback::{Cause, Latches, Pilot, Policy, Rest, Waiting};
use handback_host_tests::{axes, ms, points};

use crate::healthy::four;
use crate::session::{Report, Session};

/// The session of a box that flies `four` with this change, and then has broken this rule.
fn breaks(rule: &str, seed: u64, change: impl FnOnce(&mut Policy<4>)) -> Report {
    breaks_in(four(), rule, seed, change)
}

/// The same where the policy that is agreed on is another one.
fn breaks_in(agreed: Policy<4>, rule: &str, seed: u64, change: impl FnOnce(&mut Policy<4>)) -> Report {
    let report = Session::new(agreed, seed).flown(change).run();
    assert!(report.done, "{:?}", report.ended.last());
    names(&report, rule);
    report
}

fn names(report: &Report, rule: &str) {
    assert!(report.broken.iter().any(|broken| broken.names(rule)), "{rule} is not named: {:#?}", report.broken);
}

/// Given a box with another `engage`, when a stick moves, then the finding says where it took over.
/// Rules: T1
#[test]
fn another_engage_shows_where_the_stick_took_over() {
    for seed in 0..20 {
        breaks("T1", seed, |p| (p.axes[1].engage, p.axes[1].release) = (points(9), points(1)));
        let mut wide = four();
        wide.axes[1].engage = points(9);
        breaks_in(wide, "T1", seed, |p| p.axes[1].engage = points(2));
    }
}

/// Given a box with another `confirm`, when a stick moves, then the finding says in how many frames it took over.
/// Rules: T1
#[test]
fn another_confirm_shows_in_the_number_of_frames() {
    let report = flown(1, |p| p.axes[0].confirm = 2);
    has(&report, |f| matches!(f, Finding::NotAtThreshold { axis: 0, confirm: 1, .. }));
    let mut policy = four();
    policy.axes[0].confirm = 3;
    let report = Session::new(policy, 1).flown(|p| p.axes[0].confirm = 2).run();
    has(&report, |f| matches!(f, Finding::TookOverAt { axis: 0, frames: 2, confirm: 3, .. }));
}

/// Given a box with another `release`, when a stick comes back, then the finding says where it let go.
/// Rules: T3
#[test]
fn another_release_shows_where_the_stick_let_go() {
    for seed in 0..20 {
        breaks_in(wide, "T3", seed, |p| p.axes[3].release = points(0));
    }
    let mut narrow = four();
    (narrow.axes[3].engage, narrow.axes[3].release) = (points(30), points(1));
    breaks_in(narrow, "T3", 1, |p| p.axes[3].release = points(29));
}

/// Given a box with another `still`, when the throttle is left, then the finding says how long it stayed.
/// Rules: R2
#[test]
fn another_still_shows_how_long_the_throttle_stayed() {
    let report = flown(1, |p| p.axes[2].rest = Rest::WhereLeft { still: ms(200) });
    has(&report, |f| matches!(f, Finding::LetGoAfter { axis: 2, seen, .. } if *seen < ms(500)));
    let report = flown(1, |p| p.axes[2].rest = Rest::WhereLeft { still: ms(900) });
    has(&report, |f| matches!(f, Finding::LetGoAfter { axis: 2, seen, .. } if *seen >= ms(500)));
}

/// Given a box with a shorter dwell, when the craft goes back, then the finding says too soon.
/// Rules: H1
#[test]
fn a_shorter_dwell_hands_back_too_soon() {
    for shorter in [100, 250] {
        breaks("H1", 1, |p| p.dwell = ms(shorter));
    }
}

/// Given a box with a shorter `requalify`, when the student is back, then the craft goes back too soon.
/// Rules: L2
#[test]
fn a_shorter_requalify_hands_back_too_soon() {
    let mut policy = four();
    policy.off_first_after_loss = false;
    let report = Session::new(policy, 1).flown(|p| p.requalify = ms(0)).run();
    assert_eq!(report.findings, [Finding::HandedTooSoon { seen: ms(0), dwell: ms(300) }]);
}

/// Given a box with a longer `timeout`, when the student's transmitter is off, then the craft is not taken in time.
/// Rules: L1
#[test]
fn a_longer_timeout_does_not_take_the_craft_in_time() {
    let report = flown(1, |p| p.timeout = ms(600));
    assert_eq!(report.findings, [Finding::NotTaken { by: Cause::LinkLost }]);
}

/// Given a box that keeps the craft after no cause, when the policy has it kept, then the cause is named.
/// Rules: S2, H2
#[test]
fn a_craft_that_is_not_kept_is_named_with_its_cause() {
    let report = flown(1, |p| p.axes[2].keep = false);
    assert_eq!(report.findings, [Finding::NotKept { by: Cause::Stick(2) }]);
    let report = flown(1, |p| p.off_first_after_loss = false);
    assert_eq!(report.findings, [Finding::NotKept { by: Cause::LinkLost }]);
}

/// Given a box with a latch that the policy does not have, when the craft should go back, then the finding names what
/// is missing.
/// Rules: H2
#[test]
fn a_latch_that_the_policy_lacks_is_named() {
    let report = flown(1, |p| p.latches = Latches { lasted: Some(ms(100)), beyond: None });
    has(&report, |f| *f == Finding::NotHandedOver { waiting: Some(Waiting::Latch) });
    let mut policy = four();
    policy.off_first_after_loss = false;
    let report = Session::new(policy, 1).flown(|p| p.off_first_after_loss = true).run();
    assert_eq!(report.findings, [Finding::NotHandedOver { waiting: Some(Waiting::SwitchOffFirst) }]);
}

/// Given a box with a gate that the policy does not have, when the switch is on, then the gate is named.
/// Rules: H3
#[test]
fn a_gate_that_the_policy_lacks_is_named() {
    let report = Session::new(four(), 1)
        .flown(|p| p.axes[0].window = Some(points(0)))
        .run_with(&mut |session, _, _| session.student.sticks[0].off = 2.0, |outcome| outcome);
    assert_eq!(report.findings, [Finding::NotHandedOver { waiting: Some(Waiting::Gate(0)) }]);
    assert!(report.broken.is_empty(), "{}", report.broken[0]);
}

/// Given a box that does not take the craft when it must, when the check runs, then each cause that should have taken
/// it is named.
/// Rules: T2, T4
#[test]
fn a_takeover_that_does_not_happen_is_named_by_its_cause() {
    let everything = Pilot::Student(axes(&[0, 1, 2, 3]));
    let mut got = false;
    let report = Session::new(four(), 1).run_with(&mut |_, _, _| {}, |mut outcome| {
        got |= outcome.pilot == everything;
        if got {
            outcome.pilot = everything;
        }
        outcome
    });
    for rule in ["T2", "T4", "T5", "T7", "S3", "L3"] {
        names(&report, rule);
    }
    for axis in 0..4 {
        let step = Action::TakeOver { axis };
        assert!(report.findings.contains(&Finding::NotSeen { step }), "{:?}", report.findings);
    }
    assert!(report.ended.iter().any(|(step, _)| *step == Action::Again { after: Cause::SwitchOff }));
}
