//! T6: what an axis outputs when it leaves the student's set.

use handback::{AxisRule, Cause, Deflection, Policy, Rest, Scope, Transfer};
use handback_host_tests::{Lesson, around, axes, bare, lesson_with, ms, parked, points, reached, sprung, units, us};

const CENTRE: Deflection = Deflection::CENTRE;

/// Axis 0 sprung; axis 1 parked at its centre, engage 8 points, and picked up.
fn throttle() -> Policy<2> {
    Policy { axes: [AxisRule::sprung(), parked(CENTRE)], ..bare() }
}

/// The student flies axis 1 at `h`; then the instructor takes the craft with axis 0 while the other stick is at `x`.
fn taken(policy: Policy<2>, x: Deflection, h: Deflection) -> Lesson<2> {
    lesson_with(policy).instructor(1, x).student(1, h).student_flying().outputs(1, h).roll(3).step()
}

/// Rules: T6
#[test]
fn given_snap_when_the_axis_leaves_the_set_then_the_instructors_stick_is_output_at_once() {
    let mut policy = throttle();
    policy.axes[1].transfer = Transfer::Snap;
    taken(policy, points(-5), points(40)).waits_to_pick_up(&[]).outputs(1, points(-5));
}

/// Rules: T6
#[test]
fn given_pickup_when_the_axis_leaves_the_set_then_its_last_output_stays_and_the_outcome_tells_how_far_the_stick_is_off()
{
    let waiting = taken(throttle(), points(-5), points(40)).waits_to_pick_up(&[1]).outputs(1, points(40));
    assert_eq!(waiting.outcome().pickup_offset(1), Some(points(-5).saturating_sub(points(40))));
    assert_eq!(waiting.outcome().pickup_offset(0), None);
    let still = waiting.student(1, points(-90)).pass(ms(1000)).waits_to_pick_up(&[1]).outputs(1, points(40));
    let nearer = still.instructor(1, points(60)).step().waits_to_pick_up(&[]);
    assert_eq!(nearer.outcome().pickup_offset(1), None);
}

/// Rules: T6
#[test]
fn given_pickup_when_the_set_empties_for_any_reason_without_a_lost_instructor_then_the_axis_waits() {
    let flying = || lesson_with(throttle()).student(1, points(40)).student_flying();
    let taken = [
        flying().switch_off().step(),
        flying().student_frames(false).pass(ms(160)),
        flying().step_with_bad_frame(),
        flying().roll(3).step(),
    ];
    for lesson in taken {
        lesson.instructor_has_the_craft().waits_to_pick_up(&[1]).outputs(1, points(40));
    }
}

/// Rules: T6
#[test]
fn given_a_wait_when_the_stick_meets_the_output_or_passes_it_then_the_stick_is_output_and_a_unit_before_it_is_not() {
    let h = points(40);
    // From below and from above; the stick starts 5 points either side of its rest, within engage.
    for (x, h) in [(points(-5), h), (points(5), points(-40))] {
        let side = if x < h { 1 } else { -1 };
        let waiting = taken(throttle(), x, h).waits_to_pick_up(&[1]);
        waiting.clone().instructor(1, around(h, -side)).step().waits_to_pick_up(&[1]).outputs(1, h);
        waiting.clone().instructor(1, h).step().waits_to_pick_up(&[]).outputs(1, h);
        waiting.clone().instructor(1, around(h, side)).step().waits_to_pick_up(&[]).outputs(1, around(h, side));
        let far = points(100 * side);
        waiting.instructor(1, far).step().waits_to_pick_up(&[]).outputs(1, far);
    }
}

/// Rules: T6
#[test]
fn given_a_stick_that_is_where_the_output_is_when_the_axis_leaves_the_set_then_it_does_not_wait() {
    taken(throttle(), points(5), points(5)).waits_to_pick_up(&[]).outputs(1, points(5));
    taken(throttle(), points(5), around(points(5), 1)).waits_to_pick_up(&[1]).outputs(1, around(points(5), 1));
}

/// Rules: T6
#[test]
fn given_a_pickup_that_ended_when_the_stick_goes_anywhere_then_it_is_output() {
    let met = taken(throttle(), CENTRE, points(40)).instructor(1, points(41)).step().waits_to_pick_up(&[]);
    met.instructor(1, points(-90)).step().waits_to_pick_up(&[]).outputs(1, points(-90));
}

/// Rules: T6, T2
#[test]
fn given_the_axis_itself_takes_over_when_its_stick_moved_towards_the_output_then_it_waits_and_else_it_does_not() {
    let rest = points(10);
    let h = points(60);
    let cases = [
        (points(30), true),            // above rest, and the output above that: towards
        (points(-30), false),          // below rest, the output above: away
        (points(70), false),           // above rest, and past the output
        (h, false),                    // exactly there
        (around(h, -1), true),         // a unit short of it
        (around(h, 1), false),         // a unit past it
        (around(points(18), 1), true), // a unit past engage
    ];
    for mirrored in [1, -1] {
        for (x, waits) in cases {
            let mirror = |d: Deflection| units(d.to_bits() * mirrored);
            let mut policy = throttle();
            policy.axes[1].rest = Rest::At(mirror(rest));
            let flying = lesson_with(policy).instructor(1, mirror(rest)).student(1, mirror(h)).student_flying();
            let taken = flying.instructor(1, mirror(x)).step().because(Cause::Stick(1)).holds(&[1]);
            let out = if waits { mirror(h) } else { mirror(x) };
            taken.outputs(1, out).waits_to_pick_up(if waits { &[1] } else { &[] });
        }
    }
}

/// Rules: T6
#[test]
fn given_each_axis_for_itself_when_the_stick_moves_away_from_the_output_then_it_is_output_in_that_step() {
    let policy = Policy { scope: Scope::Axis, ..throttle() };
    let flying = lesson_with(policy).student(1, points(40)).student_flying();
    let away = flying.instructor(1, points(-9)).step().student_has(axes(&[0])).because(Cause::Stick(1));
    away.outputs(1, points(-9)).waits_to_pick_up(&[]);
}

/// Rules: T6
#[test]
fn given_a_wait_when_the_axis_becomes_held_later_then_it_goes_on_waiting() {
    let waiting = taken(throttle(), CENTRE, points(40)).holds(&[0]).waits_to_pick_up(&[1]);
    waiting.instructor(1, points(20)).step().holds(&[0, 1]).waits_to_pick_up(&[1]).outputs(1, points(40));
}

/// Rules: T6
#[test]
fn given_a_wait_when_the_stick_draws_off_from_its_nearest_by_more_than_engage_then_it_is_output_and_by_engage_not() {
    let engage = points(8).to_bits();
    for nearest in [CENTRE, points(20), points(39)] {
        let approached = taken(throttle(), CENTRE, points(40)).instructor(1, nearest).step().waits_to_pick_up(&[1]);
        let at = around(nearest, -engage);
        approached.clone().instructor(1, at).step().waits_to_pick_up(&[1]).outputs(1, points(40));
        let off = around(nearest, -engage - 1);
        approached.instructor(1, off).step().waits_to_pick_up(&[]).outputs(1, off);
    }
}

/// Rules: T6
#[test]
fn given_a_wait_when_the_stick_draws_off_slowly_then_the_nearest_is_remembered() {
    let mut waiting = taken(throttle(), CENTRE, points(40)).instructor(1, points(30)).step();
    for back in [28, 26, 24, 22] {
        waiting = waiting.instructor(1, points(back)).step().waits_to_pick_up(&[1]);
    }
    waiting.instructor(1, points(21)).step().waits_to_pick_up(&[]).outputs(1, points(21));
}

/// Rules: T6, K1, I1, T7
#[test]
fn given_pickup_when_the_axis_leaves_the_set_by_a_late_step_a_lost_instructor_or_instructor_now_then_it_does_not_wait()
{
    let flying = || lesson_with(throttle()).instructor(1, points(-5)).student(1, points(40)).student_flying();
    let taken = [
        flying().step_of(us(250_001)).because(Cause::LateStep),
        flying().step_of(us(150_001)).because(Cause::InstructorLost),
        flying().instructor_frames(false).pass(ms(160)).because(Cause::InstructorLost),
        flying().instructor_now(true).step().because(Cause::InstructorNow),
    ];
    for lesson in taken {
        lesson.waits_to_pick_up(&[]).outputs(1, points(-5));
    }
}

/// Rules: T6, K1, I1, T7
#[test]
fn given_a_wait_when_a_step_is_late_the_instructor_is_lost_or_instructor_now_is_asked_for_then_it_ends() {
    let waiting = || taken(throttle(), points(-5), points(40)).waits_to_pick_up(&[1]);
    waiting().step_of(us(250_000)).waits_to_pick_up(&[]); // lost: beyond the timeout
    waiting().step_of(us(150_000)).waits_to_pick_up(&[1]).outputs(1, points(40));
    let ended = [
        waiting().step_of(us(250_001)),
        waiting().step_of(us(150_001)),
        waiting().instructor_frames(false).pass(ms(160)),
        waiting().instructor_now(true).step(),
    ];
    for lesson in ended {
        lesson.waits_to_pick_up(&[]).outputs(1, points(-5)).step().waits_to_pick_up(&[]);
    }
}

/// Rules: T6, H4
#[test]
fn given_a_wait_when_it_has_lasted_pickup_max_then_the_output_fades_from_where_it_was_to_the_stick() {
    let policy = Policy { pickup_max: ms(500), fade: ms(200), ..throttle() };
    for (waited, over) in reached(ms(500)) {
        let lesson = taken(policy, CENTRE, points(40)).pass(waited).outputs(1, points(40));
        lesson.waits_to_pick_up(if over { &[] } else { &[1] });
    }
    let fading = taken(policy, CENTRE, points(40)).pass(ms(500)).waits_to_pick_up(&[]).outputs(1, points(40));
    // A quarter of the way down from 6554 units is 4915.5.
    let fading = fading.pass(ms(50)).outputs(1, units(4916)).pass(ms(50)).outputs(1, points(20));
    // The stick is live: the line leads to where it is now.
    fading
        .instructor(1, points(-6))
        .pass(ms(99))
        .step_of(us(1000))
        .outputs(1, points(-6))
        .step()
        .outputs(1, points(-6));
}

/// Rules: T6, H4
#[test]
fn given_no_fade_when_the_wait_has_lasted_pickup_max_then_the_stick_is_output_in_that_step() {
    let policy = Policy { pickup_max: ms(500), ..throttle() };
    let almost = taken(policy, CENTRE, points(40)).pass(us(499_999)).outputs(1, points(40));
    almost.step_of(us(1)).outputs(1, CENTRE);
}

/// Rules: T6, H4
#[test]
fn given_pickup_max_0_when_the_axis_leaves_the_set_then_it_fades_from_that_step_on() {
    let policy = Policy { pickup_max: ms(0), fade: ms(200), ..throttle() };
    let fading = taken(policy, CENTRE, points(40)).waits_to_pick_up(&[]).outputs(1, points(40));
    fading.pass(ms(100)).outputs(1, points(20)).pass(ms(100)).outputs(1, CENTRE);
}

/// Rules: T6
#[test]
fn given_a_wait_that_is_over_when_the_stick_meets_the_output_in_that_step_then_there_is_nothing_to_fade() {
    let policy = Policy { pickup_max: ms(500), fade: ms(200), ..throttle() };
    let almost = taken(policy, CENTRE, points(40)).pass(us(499_999)).waits_to_pick_up(&[1]);
    almost.clone().instructor(1, points(50)).step_of(us(1)).outputs(1, points(50)).step().outputs(1, points(50));
    // Drawn off by more than engage: the same.
    almost.instructor(1, points(-9)).step_of(us(1)).outputs(1, points(-9));
}

/// Rules: T6
#[test]
fn given_each_axis_for_itself_when_a_waiting_axis_joins_the_set_again_then_it_stops_waiting() {
    let policy = Policy { scope: Scope::Axis, dwell: ms(100), ..throttle() };
    let flying = lesson_with(policy).student(1, points(40)).student_flying();
    let waiting = flying.instructor(1, points(20)).step().student_has(axes(&[0])).waits_to_pick_up(&[1]);
    let free = waiting.instructor(1, points(0)).student(1, points(-30)).step().holds(&[]);
    // 20 points back is more than engage: the wait has ended. Within engage it goes on until the axis joins.
    drop(free.outputs(1, CENTRE));
    let flying = lesson_with(policy).student(1, points(12)).student_flying();
    let waiting = flying.instructor(1, points(9)).step().waits_to_pick_up(&[1]).instructor(1, points(2)).step();
    let waiting = waiting.holds(&[]).waits_to_pick_up(&[1]).outputs(1, points(12)).student(1, points(-30)).steps(5);
    waiting.waits_to_pick_up(&[1]).step().student_has_all().waits_to_pick_up(&[]).outputs(1, points(-30));
}

/// Rules: T6
#[test]
fn given_a_wait_when_the_instructors_frames_stay_away_for_less_than_the_timeout_then_it_goes_on() {
    let waiting = taken(throttle(), CENTRE, points(40)).instructor_frames(false).pass(ms(140));
    waiting.waits_to_pick_up(&[1]).outputs(1, points(40));
}

/// Rules: T6
#[test]
fn given_two_axes_that_wait_when_one_is_picked_up_then_the_other_goes_on_waiting() {
    let policy = Policy { axes: [AxisRule::sprung(), parked(CENTRE), parked(CENTRE)], ..bare() };
    let flying = lesson_with(policy).student_sticks([CENTRE, points(40), points(-40)]).student_flying();
    let waiting = flying.roll(3).step().waits_to_pick_up(&[1, 2]);
    let one = waiting.instructor(2, points(-50)).step().waits_to_pick_up(&[1]).outputs(1, points(40));
    one.outputs(2, points(-50));
}

/// Rules: T6, T2
#[test]
fn given_pickup_in_the_middle_of_a_fade_when_the_craft_is_taken_then_the_last_output_is_what_stays() {
    let policy = Policy { fade: ms(200), ..throttle() };
    let fading = lesson_with(policy).student(1, points(80)).student_just_got_it().pass(ms(100)).outputs(1, points(40));
    // In the step of the takeover the fade would have gone on to 48 points.
    fading.roll(3).step().waits_to_pick_up(&[1]).outputs(1, points(40));
}

/// Rules: T6, N1
#[test]
fn given_the_widest_travel_when_stick_and_output_are_at_opposite_ends_then_distances_do_not_wrap() {
    let ends = [around(Deflection::MIN, 1), Deflection::MAX];
    for (x, h) in [(ends[0], ends[1]), (ends[1], ends[0])] {
        let mut policy = Policy { plausible: Deflection::MAX, ..throttle() };
        policy.axes[1].rest = Rest::At(x);
        let waiting = taken(policy, x, h).waits_to_pick_up(&[1]).outputs(1, h);
        let offset = waiting.outcome().pickup_offset(1).expect("it waits");
        assert_eq!(offset, if x < h { Deflection::MIN } else { Deflection::MAX }, "it saturates");
        waiting.instructor(1, CENTRE).step().waits_to_pick_up(&[1]).instructor(1, h).step().waits_to_pick_up(&[]);
    }
}

/// Rules: T6
#[test]
fn given_axes_that_are_not_shared_when_the_craft_is_taken_then_they_never_wait() {
    let mut policy = Policy { shared: axes(&[0]), ..sprung::<2>() };
    policy.axes[1] = parked(CENTRE);
    let taken = lesson_with(policy).student(1, points(40)).student_flying().roll(3).step();
    taken.waits_to_pick_up(&[]).outputs(1, CENTRE);
}
