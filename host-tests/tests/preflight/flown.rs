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

/// Given an `engage` that is larger or smaller than agreed, when a stick moves, then T1 is named.
///
/// Rules: T1
#[test]
fn another_engage_is_named() {
    for seed in 0..20 {
        breaks("T1", seed, |p| (p.axes[1].engage, p.axes[1].release) = (points(9), points(1)));
        let mut wide = four();
        wide.axes[1].engage = points(9);
        breaks_in(wide, "T1", seed, |p| p.axes[1].engage = points(2));
    }
}

/// Given more or fewer frames than agreed, when a stick moves, then T1 is named.
///
/// Rules: T1
#[test]
fn another_confirm_is_named() {
    breaks("T1", 1, |p| p.axes[0].confirm = 2);
    let mut slow = four();
    slow.axes[0].confirm = 3;
    breaks_in(slow, "T1", 1, |p| p.axes[0].confirm = 2);
}

/// Given a `release` that is smaller or larger than agreed, when a stick comes back, then T3 is named.
///
/// Rules: T3
#[test]
fn another_release_is_named() {
    let mut wide = four();
    (wide.axes[3].engage, wide.axes[3].release) = (points(9), points(8));
    for seed in 0..20 {
        breaks_in(wide, "T3", seed, |p| p.axes[3].release = points(0));
    }
    let mut narrow = four();
    (narrow.axes[3].engage, narrow.axes[3].release) = (points(30), points(1));
    breaks_in(narrow, "T3", 1, |p| p.axes[3].release = points(29));
}

/// Given a `still` that is shorter or longer than agreed, when the throttle is left, then R2 is named.
///
/// Rules: R2
#[test]
fn another_still_is_named() {
    for still in [200, 900] {
        breaks("R2", 1, |p| p.axes[2].rest = Rest::WhereLeft { still: ms(still) });
    }
}

/// Given a shorter dwell than agreed, when the craft goes back, then H1 is named.
///
/// Rules: H1
#[test]
fn a_shorter_dwell_is_named() {
    for shorter in [100, 250] {
        breaks("H1", 1, |p| p.dwell = ms(shorter));
    }
}

/// Given a shorter `requalify` than agreed, when the student is back, then L2 is named.
///
/// Rules: L2
#[test]
fn a_shorter_requalify_is_named() {
    let mut kept_by_nothing = four();
    kept_by_nothing.off_first_after_loss = false;
    breaks_in(kept_by_nothing, "L2", 1, |p| p.requalify = ms(0));
}

/// Given a longer `timeout` than agreed, when the student's transmitter is off, then L3 is named.
///
/// Rules: L1, L3
#[test]
fn a_longer_timeout_is_named() {
    let report = breaks("L3", 1, |p| p.timeout = ms(600));
    names(&report, "L1");
}

/// Given nothing that keeps the craft where that was agreed, when a stick is let go or the student is back, then H2 or S2
/// is named.
///
/// Rules: S2, H2
#[test]
fn a_missing_latch_is_named() {
    breaks("H2", 1, |p| p.axes[2].keep = false);
    breaks("S2", 1, |p| p.off_first_after_loss = false);
}

/// Given a latch that was not agreed on, when a stick is let go, then H1 is named: the student was to get the craft.
///
/// Rules: H1, H2
#[test]
fn an_unknown_latch_is_named() {
    breaks("H1", 1, |p| p.latches = Latches { lasted: Some(ms(100)), beyond: None });
    let mut kept_by_nothing = four();
    kept_by_nothing.off_first_after_loss = false;
    breaks_in(kept_by_nothing, "H1", 1, |p| p.off_first_after_loss = true);
}

/// Given a gate that the two sticks never pass, when the switch is on, then the check names the gate as what is missing.
///
/// Rules: H3
#[test]
fn given_a_gate_that_stays_closed_when_the_switch_is_on_then_the_gate_is_named() {
    let mut gated = four();
    gated.axes[0].window = Some(points(0));
    let report =
        Session::new(gated, 1).run_with(&mut |session, _, _| session.student.sticks[0].off = 2.0, |outcome| outcome);
    assert_eq!(report.findings, [Finding::NotHandedOver { waiting: Some(Waiting::Gate(0)) }]);
    assert!(report.broken.is_empty(), "{}", report.broken[0]);
}

/// Given a box that says for ever that the student has the craft, once it had it, when it must be taken, then each rule by
/// which it must is named, and the check has not seen the takeovers.
///
/// Rules: T2, T4, T5, T7, S3, L3
#[test]
fn a_box_that_never_takes_the_craft_is_named() {
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
