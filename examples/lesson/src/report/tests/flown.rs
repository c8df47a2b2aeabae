//! The engine itself, flown with its reference through random lessons: no report of it raises the alarm.

use handback::{AxisRule, AxisSet, Deflection, Duration, Frame, Policy, Rest, Scope, Transfer};
use proptest::prelude::*;

use crate::lane::Lane;
use crate::row::Row;

/// The mark of a report on a build that cannot be believed.
const ALARM: &str = "***";

/// A random policy of two axes with durations of a few steps.
fn any_policy() -> impl Strategy<Value = Policy<2>> {
    let duration = || (1..9_u32).prop_map(|steps| Duration::from_ticks(steps * 20_000));
    let waits = [(); 7].map(|()| duration());
    let rule = (1..4_u8, any::<bool>(), any::<bool>(), any::<bool>(), proptest::option::weighted(0.2, 0..40_i16));
    let latches = (proptest::option::weighted(0.2, duration()), proptest::option::weighted(0.2, 0..100_i16));
    let sets = (1..4_u16, 0..4_u16, any::<bool>());
    (waits, [rule.clone(), rule], latches, sets, any::<bool>()).prop_map(|(waits, rules, latches, sets, off_first)| {
        let [settle, dwell, fade, pickup_max, timeout, requalify, late_step] = waits;
        let axes = rules.map(|(confirm, unsprung, pickup, keep, window)| {
            let mut rule = AxisRule::sprung();
            rule.confirm = confirm;
            rule.rest = if unsprung { Rest::WhereLeft { still: dwell } } else { Rest::At(Deflection::CENTRE) };
            rule.transfer = if pickup { Transfer::Pickup } else { Transfer::Snap };
            rule.keep = keep;
            rule.window = window.map(Deflection::from_points);
            rule
        });
        let (watched, shared, craft) = sets;
        let (watched, shared) = (AxisSet::from_bits(watched), AxisSet::from_bits(shared));
        let mut policy = Policy::new(axes);
        policy.watched = watched;
        policy.shared = if craft { shared } else { shared & watched };
        policy.scope = if craft { Scope::Craft } else { Scope::Axis };
        (policy.settle, policy.dwell, policy.fade, policy.pickup_max) = (settle, dwell, fade, pickup_max);
        (policy.timeout, policy.failsafe_after, policy.requalify) = (timeout, timeout, requalify);
        (policy.late_step, policy.off_first_after_loss) = (late_step, off_first);
        policy.latches.lasted = latches.0;
        policy.latches.beyond = latches.1.map(Deflection::from_points);
        policy
    })
}

/// Some steps with the same inputs.
#[derive(Clone, Debug)]
struct Stretch {
    steps: u8,
    /// Time before its first step.
    gap_us: u64,
    /// The instructor's sticks in points; `None` where no frame comes.
    instructor: Option<[i16; 2]>,
    student: Option<[i16; 2]>,
    switch: bool,
    now: bool,
}

fn any_stretch() -> impl Strategy<Value = Stretch> {
    // At rest, near the threshold of 2 points, anywhere, and beyond `plausible`.
    let stick = || prop_oneof![12 => Just(0_i16), 3 => -4..=4_i16, 2 => -120..120_i16, 1 => Just(160)];
    let frame = || proptest::option::weighted(0.85, [stick(), stick()]);
    let gap = prop_oneof![6 => Just(20_000_u64), 2 => 0..220_000_u64];
    let switch = proptest::bool::weighted(0.75);
    (1..14_u8, gap, frame(), frame(), switch, proptest::bool::weighted(0.02)).prop_map(
        |(steps, gap_us, instructor, student, switch, now)| Stretch { steps, gap_us, instructor, student, switch, now },
    )
}

/// Rows of a lesson: the transmitter is off for `silent` steps, then anything happens.
fn rows(silent: u8, stretches: &[Stretch]) -> Vec<Row<2>> {
    let frame = |points: Option<[i16; 2]>| points.map(|points| Frame::new(points.map(Deflection::from_points)));
    let at_rest = Some([0, 0]);
    let start = Stretch { steps: silent, gap_us: 0, instructor: None, student: at_rest, switch: false, now: false };
    let off = Stretch { steps: 12, instructor: at_rest, ..start.clone() };
    let on = Stretch { steps: 30, gap_us: 20_000, switch: true, ..off.clone() };
    let mut time_us = 0;
    let mut rows = Vec::new();
    for stretch in [start, off, on].iter().chain(stretches) {
        for step in 0..stretch.steps {
            time_us += if step == 0 { stretch.gap_us } else { 20_000 };
            rows.push(Row {
                time_us,
                instructor: frame(stretch.instructor),
                student: frame(stretch.student),
                lesson_switch: stretch.switch,
                instructor_now: stretch.now,
            });
        }
    }
    rows
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]
    #[test]
    fn no_lesson_of_the_engine_itself_alarms_its_report(
        policy in any_policy(),
        silent in prop_oneof![Just(0_u8), 1..30_u8],
        stretches in proptest::collection::vec(any_stretch(), 1..30),
    ) {
        let checked = policy.check().unwrap();
        let names = ["a", "b"].map(str::to_owned);
        let mut lane = Lane::with_reference(&checked, &names);
        for row in rows(silent, &stretches) {
            let _ = lane.step(&row, None);
        }
        let tally = lane.into_tally();
        let mut out = Vec::new();
        super::print(&mut out, &tally, &tally).unwrap();
        let said = String::from_utf8(out).unwrap();
        prop_assert!(!said.contains(ALARM), "{said}");
        prop_assert!(said.contains("agree in every decision and every output"), "{said}");
    }
}
