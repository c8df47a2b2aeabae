//! Where sticks rest, how soon the craft follows them, and which outputs wait for them.

use handback::{AxisRule, AxisSet, Cause, Deflection, Policy, Transfer};

use super::{begun, only_the_first_says, row, said};
use crate::tally::Lesson;

#[test]
fn a_rest_that_does_not_fit_is_hinted_at_with_its_remedy() {
    let resting = |rests_at: Deflection| {
        let mut lesson = Lesson::new();
        lesson.stick_at(0, rests_at).fly(0, 2000);
        lesson
    };
    // 1 point is `release`; a unit further is a different rest.
    let off = resting(Deflection::from_centipoints(160));
    let hint = "\n  aileron rests at 1.6 points, the policy says 0: set rest_points = 1.6\n";
    only_the_first_says(hint, &off, &resting(Deflection::from_points(1)));
    let release = Deflection::from_points(1).to_bits();
    let [just_off, fits] = [release + 1, release].map(|bits| resting(Deflection::from_bits(bits)));
    only_the_first_says("HINT: sticks rest where this policy does not expect them", &just_off, &fits);
    only_the_first_says("`lesson policy` prints a policy to start from", &just_off, &fits);
}

/// The student flies; the aileron is moved at 120 ms for `frames` frames, and takes over `late` frames after that, if
/// at all.
fn moved(confirm: u8, frames: u64, late: Option<u64>) -> Lesson {
    let mut policy = *Lesson::new().tally.policy();
    policy.axes[0].confirm = confirm;
    let mut lesson = Lesson::under(policy);
    lesson.fly(0, 0).hand_back_at(20).fly(40, 100).stick(0, 3);
    if let Some(late) = late {
        lesson.fly(120, 100 + late * 20).take_over_at(120 + late * 20, Cause::Stick(0));
    } else {
        lesson.fly(120, 100 + frames * 20).stick(0, 0).fly(1000, 1020);
    }
    lesson
}

#[test]
fn the_frames_until_the_craft_follows_are_told() {
    let frames =
        |count: u64| row("frames later", &format!("least {count}   median {count}   worst {count}   of 1 movement"));
    only_the_first_says(&frames(0), &moved(1, 9, Some(0)), &moved(1, 9, Some(1)));
    only_the_first_says(&frames(1), &moved(1, 9, Some(1)), &moved(1, 9, Some(0)));
    only_the_first_says(&row("frames later", "no movement"), &begun(), &moved(1, 9, Some(0)));
}

#[test]
fn a_movement_that_nothing_follows_is_said_loudly() {
    let never = row("*** NEVER FOLLOWED ***", "1 movement");
    let short = row("shorter than 'confirm'", "1 movement");
    only_the_first_says(&never, &moved(2, 2, None), &moved(2, 1, None));
    only_the_first_says(&short, &moved(2, 1, None), &moved(2, 2, None));
    only_the_first_says(&never, &moved(2, 2, None), &moved(2, 9, Some(1)));
    // A stick at the edge of the dead band does not count as moved.
    let mut still = begun();
    still.hand_back_at(20).stick(0, 2).fly(40, 200).stick(0, 0).fly(220, 240);
    assert!(!said(&still).contains("NEVER") && !said(&still).contains("shorter"));
}

#[test]
fn pickup_is_named_where_a_shared_axis_is_picked_up() {
    let at = |shared: &[u8], transfer: Transfer| {
        let mut policy = Policy::new([AxisRule::sprung(); 3]);
        policy.axes[1].transfer = transfer;
        policy.shared = AxisSet::of(shared);
        Lesson::under(policy)
    };
    let (picked_up, snaps) = (at(&[0, 1], Transfer::Pickup), at(&[0, 1], Transfer::Snap));
    let waits = row("measured", "at the output; for an axis that waits for pickup, at its pilot");
    only_the_first_says(&waits, &picked_up, &snaps);
    only_the_first_says(&waits, &picked_up, &at(&[0, 2], Transfer::Pickup));
    only_the_first_says(&row("measured", "at the output"), &snaps, &picked_up);
}

/// A takeover at 1 s after which the throttle waits for `ms`, then `end`.
fn waited(ms: u64, end: impl FnOnce(&mut Lesson, u64)) -> Lesson {
    let mut lesson = begun();
    lesson.hand_back_at(20).fly(40, 980).stick(2, 60).pickup = AxisSet::of(&[2]);
    lesson.take_over_at(1000, Cause::Stick(0)).fly(1020, 980 + ms);
    lesson.pickup = AxisSet::EMPTY;
    end(&mut lesson, 1000 + ms);
    lesson
}

#[test]
fn waits_for_pickup_are_counted_with_their_lengths_and_ends() {
    let mut lesson = begun();
    for (start, ms) in [(20, 300), (4000, 500), (8000, 700)] {
        lesson.hand_back_at(start).fly(start + 20, start + 980).pickup = AxisSet::of(&[2]);
        lesson.take_over_at(start + 1000, Cause::SwitchOff).fly(start + 1020, start + 980 + ms);
        lesson.pickup = AxisSet::EMPTY;
        lesson.fly(start + 1000 + ms, start + 3960);
    }
    lesson.hand_back_at(12_000).pickup = AxisSet::of(&[2]);
    lesson.take_over_at(13_000, Cause::SwitchOff);
    let expected = "
Outputs kept until the instructor's stick picks them up: throttle
  waits                         4
  lasted                        median 500 ms   worst 700 ms
    picked up by the stick      3
    waiting to the end          1
";
    assert!(said(&lesson).contains(expected), "{}", said(&lesson));
    assert!(!said(&super::small()).contains("Outputs kept"));
}

#[test]
fn every_end_of_a_wait_is_told_by_its_own_words_alone() {
    let picked_up = waited(500, |lesson, at| _ = lesson.fly(at, at));
    let handed_back = waited(500, |lesson, at| _ = lesson.hand_back_at(at));
    let button = waited(500, |lesson, at| {
        lesson.instructor_now = true;
        lesson.fly(at, at);
    });
    // After `pickup_max`, 2 s, the output is not yet the stick: the student's 10 points instead of 60.
    let faded = waited(2000, |lesson, at| {
        lesson.output_lags = true;
        lesson.fly(at, at);
    });
    let open = waited(500, |_, _| ());
    let ends = [
        ("picked up by the stick", &picked_up),
        ("handed back before that", &handed_back),
        ("cut: button, loss or late", &button),
        ("faded after pickup_max", &faded),
        ("waiting to the end", &open),
    ];
    for (words, lesson) in ends {
        let said = said(lesson);
        let told: Vec<&str> = ends.map(|(words, _)| words).into_iter().filter(|end| said.contains(end)).collect();
        assert_eq!(told, [words], "{said}");
        assert!(said.contains(&row(&format!("  {words}"), "1")), "{said}");
    }
}

#[test]
fn a_wait_of_more_than_20_s_is_told_as_that() {
    let waited = |ms: u64| waited(ms, |lesson, at| _ = lesson.fly(at, at));
    only_the_first_says(&row("lasted", "median 20,000 ms   worst 20,000 ms"), &waited(20_000), &waited(20_020));
    only_the_first_says(&row("lasted", "median over 20 s   worst over 20 s"), &waited(20_020), &waited(20_000));
}
