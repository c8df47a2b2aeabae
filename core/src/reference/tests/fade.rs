//! Fades and their distance from the unrounded line (H4, N3).

use super::pickup::{H, waiting};
use super::*;
use crate::Scope;

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
        assert_eq!(begins.pilot, all::<1>());
        let at_once = if fade == 0 { to } else { from };
        assert_eq!(begins.output, frame([at_once]));
        assert_eq!(lesson.after(us).output, frame([expected]), "{us} of {fade} us from {from} to {to}");
    }
}

/// In scope `Axis`, axis 0 has faded for 10 of 40 ms from 0 to 8000, and axis 1 has a closed gate.
fn one_fades(policy: &CheckedPolicy<2>) -> Lesson<2> {
    let mut lesson = Lesson::new(policy);
    lesson.student = Some([8000, 6000]);
    let _ = lesson.run(10);
    lesson.on = true;
    let _ = lesson.run(13);
    assert_eq!(lesson.step().output, frame([2000, 0]));
    lesson
}

fn one_gated() -> Policy<2> {
    let mut policy = Policy { scope: Scope::Axis, fade: Duration::from_millis(40), ..sprung() };
    policy.axes[1].window = Some(Deflection::from_bits(5000));
    policy
}

/// Given an axis that fades, when another axis joins the set, then the first fades again from its last output.
#[test]
fn an_axis_that_joins_restarts_the_fade_of_another_h4() {
    let policy = one_gated().check().unwrap();
    let mut lesson = one_fades(&policy);
    lesson.student = Some([8000, 4000]);
    assert_eq!(lesson.step().output, frame([2000, 0]), "both begin: axis 0 from 2000");
    assert_eq!(lesson.step().output, frame([3500, 1000]));
    assert_eq!(lesson.run(3).output, frame([8000, 4000]));
}

/// Given an axis whose fade is over in that step, when another axis joins the set, then the first does not fade again.
#[test]
fn an_axis_that_joins_does_not_restart_a_fade_that_is_over_h4() {
    let policy = one_gated().check().unwrap();
    for (us, output) in [(30 * MS - 1, 2000), (30 * MS, 9000)] {
        let mut lesson = one_fades(&policy);
        lesson.student = Some([9000, 4000]);
        assert_eq!(lesson.after(us).output, frame([output, 0]), "{us} us later");
    }
}

#[test]
fn an_emptied_set_cuts_every_fade_one_to_the_instructor_too_h4() {
    let millis = Duration::from_millis;
    let policy = Policy { scope: Scope::Axis, pickup_max: millis(20), fade: millis(40), ..picked_up() };
    let policy = policy.check().unwrap();
    let mut lesson = Lesson::flown(&policy, [H, 5000]);
    let taken = lesson.move_to([400, 0]); // towards the output
    assert_eq!((taken.output, taken.pickup), (frame([H, 5000]), AxisSet::of(&[0])));
    assert_eq!(lesson.run(3).output, frame([3100, 5000]), "10 of 40 ms on the way from 4000 to 400");
    lesson.on = false;
    assert_eq!(lesson.step().output, frame([400, 0]));
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

/// Given an axis that fades to the instructor, when a stick takes the craft, then the fade is cut short. A wait that
/// times out in that step still fades.
#[test]
fn a_stick_cuts_a_fade_but_not_one_that_begins_in_its_step_h4() {
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
fn instructor_now_a_loss_and_a_late_step_cut_every_fade_h4() {
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

/// The largest distance of the output from the unrounded line, in a fade from one end of the travel to the other, in
/// 2^-14ths.
fn farthest(plausible: i16, fade: u32, elapsed: impl Iterator<Item = u32>) -> f64 {
    let minute = Duration::from_secs(60);
    let policy = Policy {
        plausible: Deflection::from_bits(plausible),
        fade: Duration::from_ticks(fade),
        // Axis 0 is not watched: at the end of its travel it would be held.
        watched: AxisSet::of(&[1]),
        shared: AxisSet::of(&[0]),
        timeout: minute,
        failsafe_after: minute,
        late_step: minute,
        ..sprung()
    };
    let policy = policy.check().unwrap();
    let mut lesson = Lesson::new(&policy);
    (lesson.instructor, lesson.student) = (Some([-plausible, 0]), Some([plausible, 0]));
    let _ = lesson.run(10);
    lesson.on = true;
    let begins = lesson.run(13);
    assert_eq!((begins.pilot.student(), begins.output), (AxisSet::of(&[0]), frame([-plausible, 0])));
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
    // 1,638,400 us: one step of W takes 100 us. 1 us before it the line is farthest ahead.
    let just_before = || (1..16384).map(|w| w * 100 - 1);
    // The error of W, at most |to - from| / 2^14, and half a unit of rounding.
    let widest = |plausible| farthest(plausible, 1_638_400, just_before());
    assert!(widest(24576) <= 3.5, "1.5, the default");
    assert!(widest(32767) <= 4.5, "just under 2.0");
    assert!(widest(32767) > 4.4, "and no bound much tighter than that is true");
}
