//! What comes out while control moves: pickup, gate, fade (T6, H3, H4, N3).

use super::*;
use crate::{Scope, Waiting};

const H: i16 = 4000;

/// The student flies axis 0 at [`H`]; the switch is turned off with the instructor's stick at centre.
fn waiting(policy: &CheckedPolicy<2>) -> Lesson<'_, 2> {
    let mut lesson = Lesson::flown(policy, [H, 0]);
    lesson.on = false;
    let outcome = lesson.step();
    assert_eq!((outcome.output, outcome.pickup), (frame([H, 0]), AxisSet::of(&[0])));
    assert_eq!(outcome.pickup_offset(0), Some(Deflection::from_bits(-H)));
    lesson
}

fn waits(outcome: &Outcome<2>) -> bool {
    let waits = outcome.pickup.contains(0);
    let shown = if waits { Some(Deflection::from_bits(H)) } else { outcome.stick.get(0) };
    assert_eq!(outcome.output.get(0), shown, "either h or the stick");
    waits
}

#[test]
fn a_wait_ends_where_the_stick_meets_or_passes_the_output_t6() {
    let policy = picked_up().check().unwrap();
    for end in [H, H + 1] {
        let mut lesson = waiting(&policy);
        assert!(waits(&lesson.move_to([H - 1, 0])));
        assert!(!waits(&lesson.move_to([end, 0])));
        assert!(!waits(&lesson.move_to([0, 0])), "it is over for good");
    }
    let mut lesson = Lesson::flown(&policy, [H, 0]);
    let _ = lesson.move_to([300, 0]);
    lesson.student = Some([300, 0]);
    let _ = lesson.step();
    lesson.on = false;
    assert!(!waits(&lesson.step()), "where they are equal no wait begins");
}

#[test]
fn a_stick_that_takes_over_waits_only_where_it_moved_towards_the_output_t6() {
    let policy = picked_up().check().unwrap();
    for (stick, waits_for_it) in [(329, true), (H - 1, true), (H, false), (H + 1, false), (-329, false)] {
        let mut lesson = Lesson::flown(&policy, [H, 0]);
        assert_eq!(waits(&lesson.move_to([stick, 0])), waits_for_it, "{stick}");
    }
    let mut lesson = Lesson::flown(&policy, [H, 0]);
    assert!(waits(&lesson.move_to([-328, 400])), "taken by another axis, it is not held");
}

#[test]
fn a_wait_ends_where_the_stick_moves_away_by_more_than_engage_t6() {
    let policy = picked_up().check().unwrap();
    let mut lesson = waiting(&policy);
    assert!(waits(&lesson.move_to([1000, 0])), "3000 off, the nearest so far");
    assert!(waits(&lesson.move_to([1000 - ENGAGE, 0])));
    assert!(waits(&lesson.move_to([1200, 0])), "2800 off");
    assert!(!waits(&lesson.move_to([1200 - ENGAGE - 1, 0])));
    let mut lesson = waiting(&policy);
    assert!(waits(&lesson.move_to([-ENGAGE, 0])));
    assert!(!waits(&lesson.move_to([-ENGAGE - 1, 0])), "the distance where it began counts");
}

#[test]
fn a_stall_a_loss_and_instructor_now_end_a_wait_and_let_none_begin_t6() {
    let policy = picked_up().check().unwrap();
    for begun in [true, false] {
        for disturb in [0, 1, 2] {
            let mut lesson = if begun { waiting(&policy) } else { Lesson::flown(&policy, [H, 0]) };
            lesson.button = disturb == 0;
            let dt = [10 * MS, 50 * MS + 1, 250 * MS + 1][disturb];
            assert!(!waits(&lesson.after(dt)), "{begun} {disturb}");
        }
    }
}

#[test]
fn a_wait_that_lasted_pickup_max_fades_to_the_stick_t6_h4() {
    let millis = Duration::from_millis;
    let policy = Policy { pickup_max: millis(100), fade: millis(40), ..picked_up() }.check().unwrap();
    let mut lesson = waiting(&policy);
    let _ = lesson.run(9);
    let last = lesson.after(10 * MS - 1);
    assert!(waits(&last));
    let over = lesson.after(1);
    assert_eq!((over.pickup, over.output), (AxisSet::EMPTY, frame([H, 0])), "the fade begins: W is 0");
    assert_eq!(lesson.step().output, frame([3000, 0]));
    assert_eq!(lesson.move_to([200, 0]).output, frame([2100, 0]), "half way to where the stick is now");
    assert_eq!(lesson.run(2).output, frame([200, 0]));
}

#[test]
fn a_wait_that_is_met_in_the_step_in_which_it_times_out_does_not_fade_t6() {
    let millis = Duration::from_millis;
    let policy = Policy { pickup_max: millis(20), fade: millis(40), ..picked_up() }.check().unwrap();
    let mut lesson = waiting(&policy);
    let _ = lesson.step();
    assert_eq!(lesson.move_to([H + 50, 0]).output, frame([H + 50, 0]));
}

#[test]
fn an_axis_that_joins_the_set_stops_waiting_t6() {
    let policy = picked_up().check().unwrap();
    let mut lesson = waiting(&policy);
    let _ = lesson.run(3);
    lesson.on = true;
    let before = lesson.run(12);
    assert!(waits(&before));
    let joined = lesson.step();
    assert_eq!((joined.authority, joined.pickup), (all::<2>(), AxisSet::EMPTY));
}

#[test]
fn a_closed_gate_holds_back_the_craft_or_its_own_axis_and_takes_nothing_h3() {
    for (scope, joined) in [(Scope::Craft, AxisSet::EMPTY), (Scope::Axis, AxisSet::of(&[0]))] {
        let mut policy = Policy { scope, ..sprung() };
        policy.axes[1].window = Some(Deflection::from_bits(100));
        let policy = policy.check().unwrap();
        let mut lesson = Lesson::new(&policy);
        lesson.student = Some([0, 101]);
        let _ = lesson.run(10);
        lesson.on = true;
        let outcome = lesson.run(30);
        assert_eq!((outcome.authority.student(), outcome.waiting), (joined, Some(Waiting::Gate(1))));
        lesson.student = Some([0, 100]);
        assert_eq!(lesson.step().authority, all::<2>());
        lesson.student = Some([0, 9000]);
        assert_eq!(lesson.step().authority, all::<2>(), "a gate takes nothing");
    }
}

#[test]
fn a_fade_is_rounded_to_nearest_and_halves_away_from_zero_h4() {
    // Half way, W = 8192; a third of the way, W = floor(5461.33) = 5461.
    for (fade, us, from, to, expected) in [
        (40 * MS, 20 * MS, 0, 1001, 501),
        (40 * MS, 20 * MS, 0, -1001, -501),
        (40 * MS, 20 * MS, 100, -101, -1), // -0.5
        (40 * MS, 20 * MS, -100, 101, 1),  // 0.5
        (40 * MS, 20 * MS, -100, 99, -1),  // -0.5
        (3, 1, 0, 16384, 5461),
        (3, 1, 0, -16384, -5461),
        (3, 1, 0, 24576, 8192), // 8191.5
        (3, 2, 0, 16384, 10922),
        (40 * MS, 40 * MS - 1, 0, 16384, 16383),
        (40 * MS, 40 * MS, 0, 16384, 16384),
        (0, 1, 0, 16384, 16384),
    ] {
        let policy = Policy { fade: Duration::from_ticks(fade), ..quick([AxisRule::sprung()]) }.check().unwrap();
        let mut lesson = Lesson::new(&policy);
        (lesson.instructor, lesson.student) = (Some([from]), Some([to]));
        let _ = lesson.run(10);
        lesson.on = true;
        let _ = lesson.run(12);
        let begins = lesson.step();
        assert_eq!(begins.authority, all::<1>());
        let at_once = if fade == 0 { to } else { from };
        assert_eq!(begins.output, frame([at_once]));
        assert_eq!(lesson.after(us).output, frame([expected]), "{us} of {fade} us from {from} to {to}");
    }
}

#[test]
fn where_another_axis_joins_those_still_fading_begin_anew_from_their_last_output_h4() {
    let mut policy = Policy { scope: Scope::Axis, fade: Duration::from_millis(40), ..sprung() };
    policy.axes[1].window = Some(Deflection::from_bits(5000));
    let policy = policy.check().unwrap();
    let mut lesson = Lesson::new(&policy);
    lesson.student = Some([8000, 6000]);
    let _ = lesson.run(10);
    lesson.on = true;
    let _ = lesson.run(13);
    assert_eq!(lesson.step().output, frame([2000, 0]));
    lesson.student = Some([8000, 4000]);
    assert_eq!(lesson.step().output, frame([2000, 0]), "both begin: axis 0 from 2000");
    assert_eq!(lesson.step().output, frame([3500, 1000]));
    assert_eq!(lesson.run(3).output, frame([8000, 4000]));
}

#[test]
fn a_takeover_cuts_the_fade_of_what_it_takes_h4_t2() {
    let policy = Policy { scope: Scope::Axis, fade: Duration::from_millis(40), ..sprung() }.check().unwrap();
    let mut lesson = Lesson::new(&policy);
    lesson.student = Some([8000, 4000]);
    let _ = lesson.run(10);
    lesson.on = true;
    let _ = lesson.run(14);
    let outcome = lesson.move_to([0, 400]);
    assert_eq!(outcome.output, frame([4000, 400]), "axis 0 goes on fading");
}

#[test]
fn a_stick_cuts_the_fade_to_the_instructor_and_a_wait_that_just_timed_out_fades_h4() {
    let millis = Duration::from_millis;
    let policy = Policy { pickup_max: millis(20), fade: millis(40), ..picked_up() }.check().unwrap();
    let mut lesson = waiting(&policy);
    let _ = lesson.run(2);
    assert_eq!(lesson.step().output, frame([3000, 0]));
    assert_eq!(lesson.move_to([0, 400]).output, frame([0, 400]), "held: it takes every axis");

    let mut lesson = waiting(&policy);
    let _ = lesson.step();
    assert_eq!(lesson.move_to([0, 400]).output, frame([H, 400]), "begins to fade in that same step");
    assert_eq!(lesson.step().output, frame([3000, 400]));
}

#[test]
fn instructor_now_a_loss_and_a_stall_cut_every_fade_h4() {
    let millis = Duration::from_millis;
    let policy = Policy { pickup_max: millis(20), fade: millis(400), ..picked_up() }.check().unwrap();
    for disturb in [0, 1, 2] {
        let mut lesson = waiting(&policy);
        let fading = lesson.run(6);
        assert_eq!(fading.output, frame([3600, 0]), "40 of 400 ms");
        lesson.button = disturb == 0;
        let dt = [10 * MS, 50 * MS + 1, 250 * MS + 1][disturb];
        assert_eq!(lesson.after(dt).output, frame([0, 0]));
    }
}

/// The farthest that the output is from the unrounded line in a fade from one end to the other, in 2^-14ths.
fn farthest(plausible: i16, fade: u32, elapsed: impl Iterator<Item = u32>) -> f64 {
    let minute = Duration::from_secs(60);
    let policy = Policy {
        plausible: Deflection::from_bits(plausible),
        fade: Duration::from_ticks(fade),
        // Not by its own stick: an axis at the end of its travel would be held.
        watched: AxisSet::of(&[1]),
        shared: AxisSet::of(&[0]),
        timeout: minute,
        failsafe_after: minute,
        stall: minute,
        ..sprung()
    };
    let policy = policy.check().unwrap();
    let mut lesson = Lesson::new(&policy);
    (lesson.instructor, lesson.student) = (Some([-plausible, 0]), Some([plausible, 0]));
    let _ = lesson.run(10);
    lesson.on = true;
    let begins = lesson.run(13);
    assert_eq!((begins.authority.student(), begins.output), (AxisSet::of(&[0]), frame([-plausible, 0])));
    let mut farthest = 0.0_f64;
    let mut passed = 0;
    for at in elapsed {
        let outcome = lesson.after(at - passed);
        passed = at;
        let line = lesson.model.ideal(0).unwrap() * 16384.0;
        let exact = f64::from(plausible) * (2.0 * f64::from(at) / f64::from(fade) - 1.0);
        assert!((line - exact).abs() < 1e-6, "the line is the line");
        farthest = farthest.max((f64::from(outcome.output.get(0).unwrap().to_bits()) - line).abs());
    }
    farthest
}

#[test]
fn the_output_is_near_the_unrounded_line_n3() {
    // 1,638,400 us: a step of W takes 100 us, and 1 us before it the line is farthest ahead.
    let just_before = || (1..16384).map(|w| w * 100 - 1);
    assert!(farthest(24576, 1_638_400, just_before()) <= 3.5, "1.5, the default");
    assert!(farthest(28672, 1_638_400, just_before()) <= 4.0, "1.75");
    // Beyond 1.75 the bound is what W loses, up to |to - from| / 2^14, and half a unit of rounding: up to 4.5.
    let widest = farthest(32767, 1_638_400, just_before());
    assert!(widest > 4.0 && widest < 4.5, "{widest}");
}
