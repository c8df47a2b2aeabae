//! Two transmitters that disagree: every fault is named as what it is, in any mix.

use handback::preflight::{Action, Finding, Side, Verdict};
use handback::{AxisRule, Deflection, Policy};
use handback_host_tests::{Random, ms, with};

use crate::healthy::four;
use crate::session::{SIDES, Session, named};
use crate::transmitter::Fault;

/// Given one fault, when the bench is checked, then that fault is named and no other.
#[test]
fn one_fault_is_named_alone() {
    for side in SIDES {
        for axis in [0, 1, 3] {
            let kinds = [
                Fault::Reversed(side, axis),
                Fault::Centre(side, axis, 5.0),
                Fault::Centre(side, axis, -5.0),
                Fault::Throw(side, axis, 0.8),
                Fault::Dead(side, axis),
                Fault::Swapped(side, axis, [1, 3, 0, 0][axis]),
            ];
            for (seed, fault) in (0..).zip(kinds) {
                named(&[fault], &Session::new(four(), seed).with(&[fault]).run());
            }
        }
    }
}

/// Given a throttle that is short at its far end, or a little off, when the bench is checked, then that is named.
#[test]
fn a_throttle_that_is_short_or_off_is_named() {
    for side in SIDES {
        let mut session = Session::new(four(), 1);
        let sticks = &mut if side == Side::Student { &mut session.student } else { &mut session.instructor }.sticks;
        sticks[2].throw = [0.8, 1.0];
        named(&[Fault::Throw(side, 2, 0.8)], &session.run());
        let off = [Fault::Centre(side, 2, 5.0)];
        named(&off, &Session::new(four(), 2).with(&off).run());
    }
}

/// Given a centre that is off, when it is off by less than trim and the play of a spring, two points, then it passes;
/// when it is off by more, then it is named.
#[test]
fn a_centre_is_named_only_if_off_by_more_than_play() {
    for (off, faulty) in [(1.5, false), (3.5, true), (-1.5, false), (-3.5, true)] {
        let fault = [Fault::Centre(Side::Student, 1, off)];
        named(if faulty { &fault } else { &[] }, &Session::new(four(), 3).with(&fault).run());
    }
}

/// Given an axis with one short end, when the bench is checked, then that end is named and the other is not.
#[test]
fn the_short_end_of_an_axis_is_named() {
    for (end, throw) in [[0.8, 1.0], [1.0, 0.8]].into_iter().enumerate() {
        for reversed in [false, true] {
            let mut session = Session::new(four(), 1);
            (session.student.sticks[1].throw, session.student.sticks[1].reversed) = (throw, reversed);
            let report = session.run();
            let short: Vec<_> = report
                .findings
                .iter()
                .filter_map(|finding| match finding {
                    Finding::ThrowShort { side: Side::Student, axis: 1, end, .. } => Some(*end as usize),
                    _ => None,
                })
                .collect();
            assert_eq!(short, [end]);
        }
    }
}

/// Given a throw of full travel, when that of the other transmitter is extended, then the shorter one is named.
#[test]
fn the_shorter_of_two_throws_is_named() {
    let faults = [Fault::Throw(Side::Student, 0, 1.0)];
    let report = Session::new(four(), 1).with(&[Fault::Throw(Side::Instructor, 0, 1.25)]).run();
    named(&faults, &report);
    let report = Session::new(four(), 1).with(&[Fault::Throw(Side::Student, 0, 1.25)]).run();
    named(&[Fault::Throw(Side::Instructor, 0, 1.0)], &report);
}

/// Given a small throw for a beginner, when it is intended, then only a throw that is shorter still is named.
#[test]
fn an_intended_small_throw_passes() {
    let session = |throw: f64| {
        let mut session = Session::new(four(), 6).with(&[Fault::Throw(Side::Student, 3, throw)]);
        session.throws = Some([100, 100, 100, 60].map(handback_host_tests::points));
        session.run()
    };
    named(&[], &session(0.6));
    named(&[Fault::Throw(Side::Student, 3, 0.48)], &session(0.48));
}

/// Given three sticks swapped in a ring, when the bench is checked, then each of the three is named.
#[test]
fn three_sticks_swapped_in_a_ring_are_each_named() {
    let mut session = Session::new(four(), 4);
    for (stick, axis) in [(0, 1), (1, 3), (3, 0)] {
        session.instructor.sticks[stick].axis = axis;
    }
    let swapped = |axis, with| Finding::Swapped { side: Side::Instructor, axis, with };
    assert_eq!(session.run().findings, [swapped(0, 1), swapped(1, 3), swapped(3, 0)]);
}

/// Given a stick that the engine holds for good, when the lesson begins, then that is the reason why the craft is not
/// handed over.
#[test]
fn a_stick_held_for_good_is_named_as_the_reason() {
    let report = Session::new(four(), 1).with(&[Fault::Centre(Side::Instructor, 1, 5.0)]).run();
    let of = |wanted| report.ended.iter().find(|(step, _)| *step == wanted).map(|(_, verdict)| *verdict);
    let Some(Verdict::Prevented(Finding::CentreOff { side: Side::Instructor, axis: 1, .. })) = of(Action::HandOver)
    else {
        panic!("{:?}", report.ended)
    };
    assert_eq!(of(Action::Finish), Some(Verdict::Passed));
    // The same of the student's holds nothing.
    let report = Session::new(four(), 1).with(&[Fault::Centre(Side::Student, 1, 5.0)]).run();
    assert!(report.ended.contains(&(Action::HandOver, Verdict::Passed)));
}

/// A random mix: on each side any sticks reversed, two swapped or none, centres off and throws short.
fn mix(random: &mut Random, sticks: &[usize], dead: bool) -> Vec<Fault> {
    let mut faults = Vec::new();
    for side in SIDES {
        let share = random.unit() * 0.7;
        if random.chance(share) {
            let a = random.below(sticks.len());
            let b = (a + 1 + random.below(sticks.len() - 1)) % sticks.len();
            faults.push(Fault::Swapped(side, sticks[a], sticks[b]));
        }
        let swaps: Vec<_> = faults.clone();
        for &axis in sticks {
            let swapped = swaps
                .iter()
                .any(|fault| matches!(*fault, Fault::Swapped(on, a, b) if on == side && (a == axis || b == axis)));
            if dead && !swapped && random.chance(share / 8.0) {
                faults.push(Fault::Dead(side, axis));
                continue;
            }
            if random.chance(share) {
                faults.push(Fault::Reversed(side, axis));
            }
            if random.chance(share) {
                let off = if random.chance(0.5) { 5.0 } else { -5.0 };
                faults.push(Fault::Centre(side, axis, off));
            }
            if random.chance(share) {
                faults.push(Fault::Throw(side, axis, [0.8, 0.7, 0.6][random.below(3)]));
            }
        }
    }
    faults
}

/// Given any mix of faults, when the bench is checked, then each is named and nothing else.
#[test]
fn each_fault_of_any_mix_is_named_and_nothing_else() {
    let (mut sessions, mut injected) = (0, [0; 5]);
    for seed in 0..2000 {
        let mut random = Random::new(seed ^ 0x5eed);
        let faults = mix(&mut random, &[0, 1, 3], true);
        named(&faults, &Session::new(four(), seed).with(&faults).run());
        sessions += 1;
        for fault in faults {
            injected[match fault {
                Fault::Reversed(..) => 0,
                Fault::Swapped(..) => 1,
                Fault::Centre(..) => 2,
                Fault::Throw(..) => 3,
                Fault::Dead(..) => 4,
            }] += 1;
        }
    }
    println!("{sessions} sessions; reversed, swapped, centre, throw, dead: {injected:?}");
    assert!(injected.into_iter().all(|count| count > 100), "{injected:?}");
}

/// Given seven sticks whose centres stay within wide thresholds, when the bench is checked, then each fault is named
/// and the lesson is tried.
#[test]
fn faults_within_the_thresholds_do_not_stop_the_lesson() {
    let wide = with!(AxisRule::sprung(), engage: Deflection::from_points(8), release: Deflection::from_points(7));
    let policy = Policy::new([wide; 7]);
    let mut tried = 0;
    for seed in 0..400 {
        let mut random = Random::new(seed ^ 0xcafe);
        let faults = mix(&mut random, &[0, 1, 2, 3, 4, 5, 6], false);
        let report = Session::new(policy, seed).with(&faults).run();
        named(&faults, &report);
        tried += usize::from(report.ended.contains(&(Action::HandOver, Verdict::Passed)));
    }
    assert_eq!(tried, 400, "a centre within the release holds nothing up");
}

/// Given a receiver that repeats its last frame, when the transmitter is off, then that is named; with `frozen_after` the
/// link is lost and the bench passes.
/// Rules: L4
#[test]
fn a_receiver_that_repeats_its_last_frame_is_named() {
    for (seed, policy) in (0..).zip([four(), with!(four(), dwell: ms(1000))]) {
        let repeating = |policy| {
            let mut session = Session::new(policy, seed);
            session.student.repeats = true;
            session.run()
        };
        let report = repeating(policy);
        assert_eq!(report.findings, [Finding::LinkRepeats]);
        assert!(report.ended.contains(&(Action::LinkOff, Verdict::Failed(Finding::LinkRepeats))));
        let guarded = repeating(with!(policy, frozen_after: Some(ms(3000))));
        assert!(guarded.passed, "{:?}", guarded.findings);
    }
}

/// Given a student who does not turn the transmitter off, when the time is over, then that step is not seen, as its
/// frames still change.
/// Rules: L1, L4
#[test]
fn a_transmitter_that_stays_on_is_not_one_that_repeats() {
    let report = Session::new(four(), 1).run_with(&mut |session, _, _| session.student.on = true, |outcome| outcome);
    assert_eq!(report.findings, [Finding::NotSeen { step: Action::LinkOff }]);
}
