//! R: the rest of a stick, fixed or where it was left.

use handback::{AxisRule, Deflection, Duration, Latches, Policy, Rest, Scope, Waiting};
use handback_host_tests::{
    Lesson, around, axes, bare, beyond, lesson_with, ms, points, reached, units, us, with, within,
};

/// An axis that rests where it was left for 500 ms and latches nothing. `engage` is 8 points, `release` 4.
fn left() -> AxisRule {
    with!(AxisRule::unsprung(points(-100)), keep: false)
}

/// Axis 0 is sprung. Axis 1 rests where it was left.
fn mixed() -> Policy<2> {
    with!(bare(), axes: [AxisRule::sprung(), left()])
}

/// The stick of axis 1 was left at `at`, and axis 1 is free.
fn left_at(policy: Policy<2>, at: Deflection) -> Lesson<2> {
    lesson_with(policy).instructor(1, at).step().pass(ms(500)).holds(&[])
}

/// Given a fixed rest, when the stick stays elsewhere for a minute, then the rest does not follow.
/// Rules: R1, T1
#[test]
fn a_fixed_rest_does_not_follow_the_stick() {
    lesson_with(bare::<1>()).roll(3).step().pass(ms(60_000)).holds(&[0]).roll(0).step().holds(&[]);
}

/// Given a fixed rest off centre, when the stick is there, then the axis is free from the first frame on.
/// Rules: R1
#[test]
fn a_fixed_rest_off_centre_is_free_from_the_first_frame_on() {
    let mut policy = bare::<1>();
    policy.axes[0].rest = Rest::At(points(-100));
    let parked = lesson_with(policy).instructor(0, points(-100)).step().holds(&[]);
    parked.instructor(0, points(0)).step().holds(&[0]);
}

/// Given an axis that rests where it was left, when the engine is new, then the axis is held until its first stay is
/// over.
/// Rules: R2
#[test]
fn where_left_is_held_until_its_first_stay_is_over() {
    let new = lesson_with(mixed()).instructor(1, points(-60)).instructor_frames(false).steps(5).holds(&[1]);
    for (stayed, free) in reached(ms(500)) {
        let first_frame = new.clone().instructor_frames(true).step().holds(&[1]);
        first_frame.pass(stayed).holds(if free { &[] } else { &[1] });
    }
}

/// Given an axis that has come to rest, when its stick moves, then `engage` counts from where the stick was left.
/// Rules: R2
#[test]
fn engage_counts_from_where_the_stick_was_left() {
    for (stick, held) in beyond(points(-60), points(8)) {
        left_at(mixed(), points(-60)).instructor(1, stick).step().holds(if held { &[1] } else { &[] });
    }
}

/// Given a stay, when the stick moves within `release` of its first position, then the stay goes on. Beyond it the stay
/// begins again.
/// Rules: R2
#[test]
fn a_move_beyond_release_restarts_the_stay() {
    for (stick, goes_on) in within(points(20), points(4)) {
        let held = lesson_with(mixed()).instructor(1, points(20)).step().pass(ms(300));
        // The stick moves 300 ms into the stay: within `release` the stay ends at 500 ms, else 500 ms after the move.
        let moved = held.instructor(1, stick).step().pass(ms(180));
        let moved = moved.holds(if goes_on { &[] } else { &[1] });
        if !goes_on {
            moved.pass(us(319_999)).holds(&[1]).step_of(us(1)).holds(&[]);
        }
    }
}

/// Given a stay, when the stick creeps, then the distance counts from the first position and not from the last.
/// Rules: R2
#[test]
fn a_stay_is_measured_from_its_first_position() {
    let mut lesson = lesson_with(mixed()).instructor(1, points(20)).step();
    for creep in 1..=40 {
        // One point every 60 ms: within `release` of the last position, beyond `release` of the first after 5 points.
        lesson = lesson.instructor(1, points(20 + creep)).steps(3).holds(&[1]);
    }
}

/// Given a stay that is over, when the axis is free, then the stay's first position is the rest.
/// Rules: R2
#[test]
fn the_first_position_of_a_stay_becomes_the_rest() {
    let wandered = lesson_with(mixed()).instructor(1, points(20)).step().pass(ms(300)).instructor(1, points(24));
    let free = wandered.pass(ms(200)).holds(&[]);
    free.clone().instructor(1, points(28)).step().holds(&[]).instructor(1, around(points(28), 1)).step().holds(&[1]);
    free.instructor(1, points(12)).step().holds(&[]);
}

/// Given an axis that becomes held, when its stick then stays still, then the stay counts from that step.
/// Rules: R2
#[test]
fn a_stay_begins_in_the_step_that_holds_the_axis() {
    for (stayed, free) in reached(ms(500)) {
        let held = left_at(mixed(), points(0)).instructor(1, points(30)).step().holds(&[1]);
        held.pass(stayed).holds(if free { &[] } else { &[1] });
    }
}

/// Given a held axis that rests where it was left, when its stick passes over the old rest, then the axis stays held.
/// Rules: R2, T3
#[test]
fn passing_over_the_old_rest_frees_nothing() {
    let held = left_at(mixed(), points(0)).instructor(1, points(30)).step().holds(&[1]);
    held.instructor(1, points(0)).step().holds(&[1]).instructor(1, points(-30)).step().holds(&[1]);
}

/// Given `still` 0, when an axis becomes held, then it is free one good frame later and not in the same step.
/// Rules: R2, T3
#[test]
fn still_0_frees_one_good_frame_later() {
    let mut policy = mixed();
    policy.axes[1].rest = Rest::WhereLeft { still: ms(0) };
    let free = lesson_with(policy).steps(2).holds(&[]).instructor(1, points(30)).step().holds(&[1]);
    free.clone().step_without_instructor().holds(&[1]);
    free.step().holds(&[]);
}

/// Given `still` 0 and an axis that is already held, when a stay begins, then it is over in that step.
/// Rules: R2
#[test]
fn still_0_ends_a_later_stay_in_the_step_that_begins_it() {
    let mut policy = mixed();
    policy.axes[1].rest = Rest::WhereLeft { still: ms(0) };
    // Held from the construction on: its first stay begins and ends with the first good frame.
    lesson_with(policy).instructor_frames(false).step().holds(&[1]).instructor_frames(true).step().holds(&[]);
    // Held since the step before, and the stick still moves: its new stay ends in the step in which it begins.
    let held = lesson_with(policy).steps(2).instructor(1, points(30)).step().holds(&[1]);
    held.instructor(1, points(60)).step().holds(&[]).instructor(1, points(68)).step().holds(&[]);
}

/// Given an axis whose stick crept within `engage`, when the set grows, then its rest is where its stick is.
/// Rules: R2
#[test]
fn growth_moves_the_rest_to_where_the_stick_is() {
    let crept = left_at(mixed(), points(0)).instructor(1, points(7)).step().holds(&[]);
    for (stick, held) in beyond(points(7), points(8)) {
        let flying = crept.clone().student_flying().instructor(1, stick).step();
        flying.holds(if held { &[1] } else { &[] });
    }
    // Without the growth the old rest counts.
    crept.instructor(1, points(9)).step().holds(&[1]);
}

/// Given a sprung axis whose stick crept, when the set grows, then its fixed rest stays.
/// Rules: R2
#[test]
fn growth_leaves_a_fixed_rest_where_it_is() {
    left_at(mixed(), points(0)).instructor(0, points(2)).student_flying().instructor(0, points(3)).step().holds(&[0]);
}

/// Given a row that has begun, when the dwell is over, then the set does not grow.
/// Rules: H1, R2, T1
#[test]
fn the_set_does_not_grow_over_a_row_that_has_begun() {
    let mut policy = with!(mixed(), dwell: ms(100));
    policy.axes[1].confirm = 3;
    // The dwell begins in the step in which the switch is seen on; it is over 5 steps later.
    let on = left_at(policy, points(0)).off_first_and_on().step().steps(3);
    let last = on.clone().steps(2).student_has_all();
    let moving = on.instructor(1, points(10)).steps(2).holds(&[]).instructor_has_the_craft();
    moving.clone().step().holds(&[1]).instructor_has_the_craft(); // the third in a row
    // A frame within `engage` ends the row, and the set grows. A stick beyond `engage` of its new rest takes the craft.
    let back = moving.instructor(1, points(8)).step().student_has_all();
    for flying in [last, back] {
        let _ = flying.instructor(1, points(-19)).steps(3).holds(&[1]).instructor_has_the_craft();
    }
}

/// Given scope `Axis`, when the set grows a second time, then the rests of the free axes follow again.
/// Rules: R2, H1
#[test]
fn in_scope_axis_every_growth_moves_the_rests() {
    let policy = with!(mixed(), scope: Scope::Axis);
    let flying = left_at(policy, points(0)).student_flying().roll(3).step().instructor(1, points(7)).step();
    let grown = flying.student_has(axes(&[1])).roll(0).steps(2).student_has_all();
    grown.clone().instructor(1, points(15)).step().holds(&[]);
    grown.instructor(1, around(points(15), 1)).step().holds(&[1]);
}

/// Given an axis that never had a rest, when its stick is far out, then the latch `beyond` is not set.
/// Rules: R2, H2
#[test]
fn beyond_ignores_an_axis_that_never_had_a_rest() {
    let never =
        lesson_with(beyond_50(ms(60_000))).instructor(1, points(-100)).off_first_and_on().pass(ms(2_000)).holds(&[1]);
    let taken = never.student_has(axes(&[0, 2])).roll(3).step().student_has(axes(&[2]));
    let _ = taken.roll(0).pass(ms(1_000)).student_has(axes(&[0, 2]));
}

/// Given a held axis, when the set grows, then `beyond` still counts from its old rest.
/// Rules: R2, H2
#[test]
fn beyond_counts_from_the_old_rest_of_a_held_axis() {
    let flying = lesson_with(beyond_50(ms(1_500))).pass(ms(2_000)).student_flying();
    let held = flying.instructor(1, points(20)).step().roll(3).step().roll(0).pass(ms(400));
    let grown = held.student_has(axes(&[0, 2])).holds(&[1]);
    // 60 points from its old rest, 40 from its position when the set grew.
    let taken = grown.instructor(1, points(60)).step().roll(3).step().instructor_has_the_craft();
    let _ = taken.roll(0).pass(ms(400)).waits_for(Waiting::Latch);
}

/// Scope `Axis` and a latch `beyond` 50 points. Axis 1 rests where it was left for `still`.
fn beyond_50(still: Duration) -> Policy<3> {
    let left = with!(left(), rest: Rest::WhereLeft { still });
    with!(Policy::new([AxisRule::sprung(), left, AxisRule::sprung()]), scope: Scope::Axis, latches: Latches { lasted: None, beyond: Some(points(50)) })
}

/// Given a stay that is long enough, when no good frame comes, then the axis is free only with the next good one.
/// Rules: R3
#[test]
fn an_axis_becomes_free_only_with_a_good_frame() {
    let almost = lesson_with(mixed()).instructor(1, points(5)).step().pass(ms(480)).holds(&[1]);
    almost.clone().step_without_instructor().holds(&[1]).step_without_instructor().holds(&[1]).step().holds(&[]);
    almost.step_with_bad_frame().holds(&[1]).step().holds(&[]);
}

/// Given a stay, when a step is late, then the stay begins again with that step's frame.
/// Rules: R3, K1
#[test]
fn a_late_step_restarts_the_stay_with_its_own_frame() {
    for (stayed, free) in reached(ms(500)) {
        let late_step = lesson_with(mixed()).step().pass(ms(400)).step_of(us(250_001)).holds(&[1]);
        late_step.pass(stayed).holds(if free { &[] } else { &[1] });
    }
}

/// Given a stay, when the instructor's signal is lost, then the stay begins again with the next good frame.
/// Rules: R3, I1
#[test]
fn a_lost_signal_restarts_the_stay_with_the_next_frame() {
    for (stayed, free) in reached(ms(500)) {
        let lost = lesson_with(mixed()).step().pass(ms(300)).instructor_frames(false).pass(ms(400)).holds(&[1]);
        let back = lost.instructor_frames(true).step().holds(&[1]);
        back.pass(stayed).holds(if free { &[] } else { &[1] });
    }
    // Lost and back in one step: that step's frame begins the stay.
    let back = lesson_with(mixed()).step().pass(ms(400)).step_of(us(150_001)).holds(&[1]);
    back.clone().pass(us(499_999)).holds(&[1]);
    back.pass(ms(500)).holds(&[]);
}

/// Given a row, when a step is late or the signal is lost, then the row begins again with the next good frame.
/// Rules: R3, T1, I1, K1
#[test]
fn a_late_step_or_a_lost_signal_restarts_the_row() {
    for gap in [us(150_001), us(250_001), ms(60_000)] {
        let mut policy = mixed();
        policy.axes[0].confirm = 3;
        let row = lesson_with(policy).step().pass(ms(500)).holds(&[]).roll(3).steps(2).holds(&[]);
        let anew = row.clone().step_of(gap).holds(&[]).step().holds(&[]).step().holds(&[0]);
        drop(anew);
        row.step_of(us(150_000)).holds(&[0]); // not lost: the third in the row
    }
}

/// Given a free axis, when the signal is lost and back, then the axis keeps its rest.
/// Rules: R3, R2
#[test]
fn a_free_axis_keeps_its_rest_over_a_lost_signal() {
    let free = left_at(mixed(), points(30)).instructor_frames(false).pass(ms(400)).holds(&[]);
    let back = free.instructor_frames(true).instructor(1, points(38)).step().holds(&[]);
    back.instructor(1, around(points(38), 1)).step().holds(&[1]);
}

/// Given a stay at one stop, when the stick goes to the other stop, then the distance does not wrap.
/// Rules: R2, N1
#[test]
fn the_distance_of_a_stay_does_not_wrap() {
    let policy = with!(mixed(), plausible: Deflection::MAX);
    let there = lesson_with(policy).instructor(1, around(Deflection::MIN, 1)).step().pass(ms(480));
    there.instructor(1, Deflection::MAX).step().holds(&[1]).pass(ms(480)).holds(&[1]).step().holds(&[]);
}

/// Given a stick one unit beyond `release`, when the stay begins again, then its new first position counts.
/// Rules: R2
#[test]
fn a_new_stay_counts_from_its_own_first_position() {
    let moved = lesson_with(mixed()).instructor(1, points(0)).step().instructor(1, around(points(4), 1)).step();
    // Back at the very first position, 4 points and one unit from the new one: the stay begins again.
    let back = moved.pass(ms(400)).instructor(1, units(0)).step();
    back.pass(us(499_999)).holds(&[1]).step_of(us(1)).holds(&[]);
}
