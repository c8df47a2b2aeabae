//! Feature `serde`: what is written can be read, and a policy is checked when it is read.

use handback::{
    AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Engine, Frame, Inputs, Instant, Latches, Outcome, Policy,
    Record, Rest, Scope,
};
use handback_host_tests::with;

fn policy() -> Policy<3> {
    let parked = with!(AxisRule::sprung(), rest: Rest::At(Deflection::from_points(-90)), confirm: 2);
    let throttle = AxisRule::unsprung(Deflection::from_points(-100));
    with!(Policy::new([parked, with!(AxisRule::sprung(), window: Some(Deflection::from_points(5))), throttle]), scope: Scope::Axis, shared: AxisSet::of(&[0, 2]), latches: Latches { lasted: Some(Duration::from_millis(1_500)), beyond: Some(Deflection::from_points(30)) })
}

/// Given a policy in which every field differs from its default, when it is written and read, then it is the same.
#[test]
fn a_policy_survives_the_way_out_and_back() {
    let text = serde_json::to_string(&policy()).expect("written");
    assert_eq!(serde_json::from_str::<Policy<3>>(&text).expect("read"), policy());
    let checked = policy().check().expect("a good policy");
    let text = serde_json::to_string(&checked).expect("written");
    assert_eq!(serde_json::from_str::<CheckedPolicy<3>>(&text).expect("read"), checked);
}

/// Given a bad policy, or one for another number of axes, when it is read as a checked one, then it is refused.
/// Rules: P1
#[test]
fn a_bad_policy_does_not_come_back_as_a_checked_one() {
    let mut bad = policy();
    bad.axes[2].confirm = 0;
    let text = serde_json::to_string(&bad).expect("written");
    let why = serde_json::from_str::<CheckedPolicy<3>>(&text).expect_err("refused");
    assert!(why.to_string().contains("axis 2: confirm is 0"), "{why}");

    let text = serde_json::to_string(&policy()).expect("written");
    assert!(serde_json::from_str::<CheckedPolicy<2>>(&text).is_err(), "too many axes");
    assert!(serde_json::from_str::<CheckedPolicy<4>>(&text).is_err(), "too few axes");
    let unknown = text.replacen("\"dwell\"", "\"dwel\"", 1);
    assert!(serde_json::from_str::<CheckedPolicy<3>>(&unknown).is_err(), "an unknown field");
}

/// Given outcomes and a record of a lesson, when they are written and read, then they are the same.
#[test]
fn outcomes_and_records_survive_the_way_out_and_back() {
    let policy = policy().check().expect("a good policy");
    let mut engine = Engine::new(&policy);
    let mut record = Record::<3, 4>::new();
    for n in 0..200 {
        let frame = Some(&Frame::CENTRE);
        let inputs = Inputs { instructor: frame, student: frame, lesson_switch: n > 5, instructor_now: n > 180 };
        let outcome = engine.step(Instant::from_ticks(n * 20_000), inputs);
        record.note(&outcome);
        let text = serde_json::to_string(&outcome).expect("written");
        assert_eq!(serde_json::from_str::<Outcome<3>>(&text).expect("read"), outcome);
    }
    let text = serde_json::to_string(&record).expect("written");
    let read: Record<3, 4> = serde_json::from_str(&text).expect("read");
    assert_eq!(read.totals(), record.totals());
    assert!(record.events().count() > 1 && read.events().eq(record.events()));
}
