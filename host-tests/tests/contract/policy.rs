//! P1: the check of a policy. The last legal value passes. The first illegal value is refused, and the error names its
//! axis, field and value.

use handback::{
    AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Engine, Latches, Policy, PolicyError, Rest, Scope, Timing,
};
use handback_host_tests::{around, axes, bare, ms, points, sprung, units, us, with};

const PLAUSIBLE: Deflection = points(150);
const HALF_THE_CLOCK: u32 = 1 << 31;

/// The error of a policy whose axis 2 has this rule.
fn refused(rule: AxisRule) -> Option<PolicyError> {
    let mut policy = sprung::<4>();
    policy.axes[2] = rule;
    policy.check().err()
}

/// Given the defaults, when they are checked, then they pass for 1 and for 16 axes.
/// Rules: P1
#[test]
fn the_defaults_pass_for_1_and_for_16_axes() {
    assert_eq!(sprung::<1>().check().map(|checked| *checked.policy()), Ok(sprung::<1>()));
    let unsprung = Policy::new([AxisRule::unsprung(points(-100)); 16]);
    assert_eq!(CheckedPolicy::try_from(unsprung).map(Policy::from), Ok(unsprung));
}

/// Given an `engage`, when it is not above 0 or not within reach, then it is refused.
/// Rules: P1
#[test]
fn engage_must_be_above_0_and_within_reach() {
    let still = Rest::WhereLeft { still: ms(500) };
    let reach = |d: Deflection| PLAUSIBLE.to_bits().unsigned_abs() + d.to_bits().unsigned_abs();
    let cases = [
        (Rest::At(points(0)), reach(points(0))),
        (Rest::At(points(10)), reach(points(10))),
        (Rest::At(points(-10)), reach(points(-10))),
        (still, reach(points(0))), // the stick may rest at its centre
    ];
    for (rest, reach) in cases {
        let rule = |engage| with!(AxisRule::sprung(), rest: rest, engage: engage, release: units(0));
        let just_out = units(i16::try_from(reach).expect("a deflection"));
        for engage in [units(0), units(-1), Deflection::MIN, just_out, Deflection::MAX] {
            assert_eq!(refused(rule(engage)), Some(PolicyError::Engage { axis: 2, engage, reach }), "{rest:?}");
        }
        for engage in [units(1), around(just_out, -1)] {
            assert_eq!(refused(rule(engage)), None, "{engage} with {rest:?}");
        }
    }
}

/// Given a reach past the range of a deflection, when `engage` is the largest deflection, then it passes.
/// Rules: P1, N1
#[test]
fn engage_passes_where_the_reach_exceeds_every_deflection() {
    let rule = with!(AxisRule::sprung(), rest: Rest::At(PLAUSIBLE), engage: Deflection::MAX);
    assert_eq!(refused(rule), None);
}

/// Given a `release`, when it is below 0 or not below `engage`, then it is refused.
/// Rules: P1
#[test]
fn release_must_be_0_or_more_and_below_engage() {
    let engage = points(2);
    let rule = |release| with!(AxisRule::sprung(), release: release);
    for release in [units(-1), Deflection::MIN, engage, Deflection::MAX] {
        assert_eq!(refused(rule(release)), Some(PolicyError::Release { axis: 2, release, engage }));
    }
    for release in [units(0), around(engage, -1)] {
        assert_eq!(refused(rule(release)), None, "{release}");
    }
}

/// Given a `confirm`, when it is 0, then it is refused.
/// Rules: P1
#[test]
fn confirm_0_is_refused() {
    let rule = |confirm| with!(AxisRule::sprung(), confirm: confirm);
    assert_eq!(refused(rule(0)), Some(PolicyError::Confirm { axis: 2 }));
    assert_eq!((refused(rule(1)), refused(rule(255))), (None, None));
}

/// Given a rest or a failsafe, when it is beyond ±`plausible`, then it is refused.
/// Rules: P1
#[test]
fn rest_and_failsafe_must_be_within_plausible() {
    let resting = |rest| with!(AxisRule::sprung(), rest: Rest::At(rest));
    let failing = |failsafe| with!(AxisRule::sprung(), failsafe: failsafe);
    let plausible = PLAUSIBLE;
    for side in [1, -1] {
        let edge = units(PLAUSIBLE.to_bits() * side);
        let out = around(edge, side);
        assert_eq!((refused(resting(edge)), refused(failing(edge))), (None, None));
        assert_eq!(refused(resting(out)), Some(PolicyError::Rest { axis: 2, rest: out, plausible }));
        assert_eq!(refused(failing(out)), Some(PolicyError::Failsafe { axis: 2, failsafe: out, plausible }));
    }
    for far in [Deflection::MIN, Deflection::MAX] {
        assert_eq!(refused(resting(far)), Some(PolicyError::Rest { axis: 2, rest: far, plausible }));
        assert_eq!(refused(failing(far)), Some(PolicyError::Failsafe { axis: 2, failsafe: far, plausible }));
    }
}

/// Given a window, when it is below 0, then it is refused.
/// Rules: P1
#[test]
fn a_window_below_0_is_refused() {
    let rule = |window| with!(AxisRule::sprung(), window: Some(window));
    for window in [units(-1), Deflection::MIN] {
        assert_eq!(refused(rule(window)), Some(PolicyError::Window { axis: 2, window }));
    }
    assert_eq!((refused(rule(units(0))), refused(rule(Deflection::MAX))), (None, None));
}

/// Given the latch `beyond`, when it is below 0 or not below `plausible`, then it is refused.
/// Rules: P1
#[test]
fn beyond_must_be_0_or_more_and_below_plausible() {
    let check = |beyond| with!(sprung::<2>(), latches: Latches { lasted: None, beyond: Some(beyond) }).check().err();
    for beyond in [units(-1), Deflection::MIN, PLAUSIBLE, Deflection::MAX] {
        assert_eq!(check(beyond), Some(PolicyError::Beyond { beyond, plausible: PLAUSIBLE }));
    }
    assert_eq!((check(units(0)), check(around(PLAUSIBLE, -1))), (None, None));
}

/// Given a `plausible`, when it is below full travel, then it is refused.
/// Rules: P1
#[test]
fn plausible_below_full_travel_is_refused() {
    let check = |plausible| with!(sprung::<2>(), plausible: plausible).check().err();
    for plausible in [around(points(100), -1), units(0), Deflection::MIN] {
        assert_eq!(check(plausible), Some(PolicyError::Plausible { plausible }));
    }
    assert_eq!((check(points(100)), check(Deflection::MAX)), (None, None));
}

/// Given the watched set, when it is empty, then it is refused.
/// Rules: P1
#[test]
fn an_empty_watched_set_is_refused() {
    let check = |watched| with!(sprung::<4>(), watched: watched).check().err();
    assert_eq!(check(AxisSet::EMPTY), Some(PolicyError::NothingWatched));
    assert_eq!(check(axes(&[3])), None);
}

/// Given a set, when it names axes past the last one, then it is refused, and the error names the lowest of them.
/// Rules: P1
#[test]
fn a_set_with_an_axis_past_the_last_is_refused() {
    let watched = |watched| with!(sprung::<4>(), watched: watched).check().err();
    let shared = |shared| with!(sprung::<4>(), shared: shared).check().err();
    for past in [axes(&[0, 4]), axes(&[15, 7, 4])] {
        assert_eq!(watched(past), Some(PolicyError::WatchedPastLast { axis: 4, axes: 4 }));
        assert_eq!(shared(past), Some(PolicyError::SharedPastLast { axis: 4, axes: 4 }));
    }
    assert_eq!((watched(axes(&[3])), shared(axes(&[3]))), (None, None));
    assert_eq!(shared(AxisSet::EMPTY), None);
    let all = with!(sprung::<16>(), watched: AxisSet::ALL, shared: AxisSet::ALL);
    assert_eq!(all.check().err(), None);
}

/// Given scope `Axis`, when a shared axis is not watched, then the policy is refused. In scope `Craft` it passes.
/// Rules: P1
#[test]
fn in_scope_axis_a_shared_axis_must_be_watched() {
    let check = |scope| with!(sprung::<4>(), scope: scope, watched: axes(&[0, 2])).check().err();
    assert_eq!(check(Scope::Axis), Some(PolicyError::SharedUnwatched { axis: 1 }));
    assert_eq!(check(Scope::Craft), None);
    let watched_only = with!(sprung::<4>(), scope: Scope::Axis, shared: axes(&[0]));
    assert_eq!(watched_only.check().err(), None);
}

/// Sets one duration of a policy.
type Set = fn(&mut Policy<4>, Duration);

/// Every duration of a policy, by name.
const DURATIONS: [(Timing, Set); 11] = [
    (Timing::Settle, |policy, d| policy.settle = d),
    (Timing::Dwell, |policy, d| policy.dwell = d),
    (Timing::Fade, |policy, d| policy.fade = d),
    (Timing::PickupMax, |policy, d| policy.pickup_max = d),
    (Timing::Timeout, |policy, d| policy.timeout = d),
    (Timing::Requalify, |policy, d| policy.requalify = d),
    (Timing::FrozenAfter, |policy, d| policy.frozen_after = Some(d)),
    (Timing::FailsafeAfter, |policy, d| policy.failsafe_after = d),
    (Timing::LateStep, |policy, d| policy.late_step = d),
    (Timing::Still, |policy, d| policy.axes[2].rest = Rest::WhereLeft { still: d }),
    (Timing::Lasted, |policy, d| policy.latches.lasted = Some(d)),
];

/// Given any duration, when it is beyond half the clock's range, then it is refused.
/// Rules: P1
#[test]
fn a_duration_beyond_half_the_clocks_range_is_refused() {
    for (timing, set) in DURATIONS {
        let check = |value| {
            let mut policy = with!(sprung(), failsafe_after: us(HALF_THE_CLOCK));
            set(&mut policy, value);
            policy.check().err()
        };
        assert_eq!(check(us(HALF_THE_CLOCK)), None, "{timing:?}");
        for value in [us(HALF_THE_CLOCK + 1), us(u32::MAX)] {
            let axis = (timing == Timing::Still).then_some(2);
            assert_eq!(check(value), Some(PolicyError::TooLong { axis, timing, value }));
        }
    }
}

/// Given any duration, when it is 0, then it is refused for `settle`, `late_step`, `timeout` and `frozen_after`, and
/// where it puts `failsafe_after` before `timeout`.
/// Rules: P1
#[test]
fn a_duration_of_0_is_refused_where_it_would_lose_a_signal() {
    for (timing, set) in DURATIONS {
        let check = |value| {
            let mut policy = sprung();
            set(&mut policy, value);
            policy.check().err()
        };
        let expected = match timing {
            Timing::Settle | Timing::LateStep | Timing::Timeout | Timing::FrozenAfter => {
                Some(PolicyError::Zero { timing })
            }
            Timing::FailsafeAfter => {
                Some(PolicyError::FailsafeBeforeTimeout { failsafe_after: us(0), timeout: sprung::<4>().timeout })
            }
            _ => None,
        };
        assert_eq!(check(us(0)), expected, "{timing:?}");
        if timing != Timing::FailsafeAfter {
            assert_eq!(check(us(1)), None, "{timing:?}");
        }
    }
}

/// Given `failsafe_after`, when it is shorter than `timeout`, then it is refused.
/// Rules: P1
#[test]
fn a_failsafe_after_shorter_than_timeout_is_refused() {
    let check = |failsafe_after| with!(sprung::<2>(), failsafe_after: failsafe_after, timeout: ms(150)).check().err();
    let short = us(149_999);
    let refused = PolicyError::FailsafeBeforeTimeout { failsafe_after: short, timeout: ms(150) };
    assert_eq!((check(short), check(ms(150))), (Some(refused), None));
}

/// Given a refused policy, when its error is read, then it names axis, field and value.
/// Rules: P1
#[test]
fn every_error_names_axis_field_and_value() {
    let plausible = PLAUSIBLE;
    let texts = [
        (
            PolicyError::Engage { axis: 2, engage: points(-3), reach: 24576 },
            vec!["axis 2", "engage", "-3.00", "150.00"],
        ),
        (
            PolicyError::Release { axis: 2, release: points(9), engage: points(2) },
            vec!["axis 2", "release", "9.00", "2.00"],
        ),
        (PolicyError::Confirm { axis: 2 }, vec!["axis 2", "confirm", "0"]),
        (PolicyError::Rest { axis: 2, rest: points(160), plausible }, vec!["axis 2", "rest", "160.00", "150.00"]),
        (PolicyError::Window { axis: 2, window: points(-7) }, vec!["axis 2", "window", "-7.00"]),
        (PolicyError::Failsafe { axis: 2, failsafe: points(-160), plausible }, vec!["axis 2", "failsafe", "-160.00"]),
        (PolicyError::Plausible { plausible: points(99) }, vec!["plausible", "99.00", "100"]),
        (PolicyError::NothingWatched, vec!["watched", "empty"]),
        (PolicyError::WatchedPastLast { axis: 7, axes: 4 }, vec!["watched", "axis 7", "4"]),
        (PolicyError::SharedPastLast { axis: 7, axes: 4 }, vec!["shared", "axis 7", "4"]),
        (PolicyError::SharedUnwatched { axis: 2 }, vec!["shared", "axis 2", "not watched"]),
        (PolicyError::Beyond { beyond: points(160), plausible }, vec!["beyond", "160.00", "150.00"]),
        (
            PolicyError::TooLong { axis: Some(2), timing: Timing::Still, value: us(3 << 30) },
            vec!["axis 2", "still", "3221225472"],
        ),
        (PolicyError::TooLong { axis: None, timing: Timing::Dwell, value: us(3 << 30) }, vec!["dwell", "3221225472"]),
        (PolicyError::Zero { timing: Timing::LateStep }, vec!["late_step", "0 us", "1 us or longer"]),
        (PolicyError::Zero { timing: Timing::Settle }, vec!["settle", "0 us", "1 us or longer"]),
        (
            PolicyError::FailsafeBeforeTimeout { failsafe_after: ms(90), timeout: ms(150) },
            vec!["failsafe_after", "90000", "150000"],
        ),
    ];
    for (error, words) in texts {
        let text = error.to_string();
        for word in words {
            assert!(text.contains(word), "{word:?} is missing in: {text}");
        }
        assert!(text.contains(error.field()), "{text}");
    }
}

/// Given an engine that borrows a policy and one that owns it, when they are asked, then both tell that policy.
/// Rules: P1
#[test]
fn an_engine_tells_its_policy() {
    let policy = with!(bare::<2>(), dwell: ms(123));
    let checked = policy.check().expect("a policy that passes its check");
    assert_eq!(*Engine::new(&checked).policy().policy(), policy);
    assert_eq!(*Engine::owning(checked).policy().policy(), policy);
}
