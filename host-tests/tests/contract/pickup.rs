//! T6: what an axis outputs when it leaves the student's set.

use handback::{AxisRule, Cause, Deflection, Policy, Rest, Scope, Transfer};
use handback_host_tests::{
    Lesson, around, axes, bare, lesson_with, ms, parked, points, reached, sprung, units, us, with,
};

const CENTRE: Deflection = Deflection::CENTRE;

/// Axis 0 is sprung. Axis 1 rests at its centre, with `engage` 8 points and `Pickup`.
fn throttle() -> Policy<2> {
    with!(bare(), axes: [AxisRule::sprung(), parked(CENTRE)])
}

/// The student flies axis 1 at `h`. Then the instructor takes the craft with axis 0 while the other stick is at `x`.
fn taken(policy: Policy<2>, x: Deflection, h: Deflection) -> Lesson<2> {
    lesson_with(policy).instructor(1, x).student(1, h).student_flying().outputs(1, h).roll(3).step()
}

/// Given `Snap`, when the axis leaves the set, then the instructor's stick is output at once.
/// Rules: T6
#[test]
fn snap_outputs_the_instructors_stick_at_once() {
    let mut policy = throttle();
    policy.axes[1].transfer = Transfer::Snap;
    taken(policy, points(-5), points(40)).waits_to_pick_up(&[]).outputs(1, points(-5));
}

/// Given `Pickup`, when the axis leaves the set, then its last output stays, and the outcome tells how far the stick is
/// off.
/// Rules: T6
#[test]
fn pickup_keeps_the_last_output_and_tells_the_offset() {
    let waiting = taken(throttle(), points(-5), points(40)).waits_to_pick_up(&[1]).outputs(1, points(40));
    assert_eq!(waiting.outcome().pickup_offset(1), Some(points(-5).saturating_sub(points(40))));
    assert_eq!(waiting.outcome().pickup_offset(0), None);
    let still = waiting.student(1, points(-90)).pass(ms(1000)).waits_to_pick_up(&[1]).outputs(1, points(40));
    let nearer = still.instructor(1, points(60)).step().waits_to_pick_up(&[]);
    assert_eq!(nearer.outcome().pickup_offset(1), None);
}

/// Given `Pickup`, when the set empties for any reason but a lost instructor's signal, then the axis waits.
/// Rules: T6
#[test]
fn an_axis_waits_whatever_empties_the_set() {
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

/// Given a wait, when the stick meets the output or passes it, then the stick is output. One unit before it is not.
/// Rules: T6
#[test]
fn a_wait_ends_when_the_stick_meets_or_passes_the_output() {
    let h = points(40);
    // From below and from above. The stick starts 5 points on either side of its rest, within `engage`.
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

/// Given a stick that is where the output is, when the axis leaves the set, then it does not wait.
/// Rules: T6
#[test]
fn a_stick_that_is_already_at_the_output_does_not_wait() {
    taken(throttle(), points(5), points(5)).waits_to_pick_up(&[]).outputs(1, points(5));
    taken(throttle(), points(5), around(points(5), 1)).waits_to_pick_up(&[1]).outputs(1, around(points(5), 1));
}

/// Given a pickup that has ended, when the stick goes anywhere, then it is output.
/// Rules: T6
#[test]
fn after_a_pickup_the_stick_is_output_wherever_it_goes() {
    let met = taken(throttle(), CENTRE, points(40)).instructor(1, points(41)).step().waits_to_pick_up(&[]);
    met.instructor(1, points(-90)).step().waits_to_pick_up(&[]).outputs(1, points(-90));
}

/// Given an axis that itself takes over, when its stick moved towards the output, then it waits; otherwise it does not.
/// Rules: T6, T2
#[test]
fn an_axis_that_takes_over_waits_only_if_moved_towards_it() {
    let rest = points(10);
    let h = points(60);
    let cases = [
        (points(30), true),            // above rest, and the output is further above: towards
        (points(-30), false),          // below rest, and the output is above: away
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

/// Given scope `Axis`, when the stick moves away from the output, then it is output in that step.
/// Rules: T6
#[test]
fn in_scope_axis_a_stick_moved_away_is_output_at_once() {
    let policy = with!(throttle(), scope: Scope::Axis);
    let flying = lesson_with(policy).student(1, points(40)).student_flying();
    let away = flying.instructor(1, points(-9)).step().student_has(axes(&[0])).because(Cause::Stick(1));
    away.outputs(1, points(-9)).waits_to_pick_up(&[]);
}

/// Given a wait, when the axis becomes held later, then it goes on waiting.
/// Rules: T6
#[test]
fn a_waiting_axis_that_becomes_held_goes_on_waiting() {
    let waiting = taken(throttle(), CENTRE, points(40)).holds(&[0]).waits_to_pick_up(&[1]);
    waiting.instructor(1, points(20)).step().holds(&[0, 1]).waits_to_pick_up(&[1]).outputs(1, points(40));
}

/// Given a wait, when the stick moves away from its nearest point by more than `engage`, then it is output. By `engage`
/// it is not.
/// Rules: T6
#[test]
fn a_stick_that_moves_away_by_more_than_engage_ends_a_wait() {
    let engage = points(8).to_bits();
    for nearest in [CENTRE, points(20), points(39)] {
        let approached = taken(throttle(), CENTRE, points(40)).instructor(1, nearest).step().waits_to_pick_up(&[1]);
        let at = around(nearest, -engage);
        approached.clone().instructor(1, at).step().waits_to_pick_up(&[1]).outputs(1, points(40));
        let off = around(nearest, -engage - 1);
        approached.instructor(1, off).step().waits_to_pick_up(&[]).outputs(1, off);
    }
}

/// Given a wait, when the stick moves away slowly, then the distance counts from its nearest point.
/// Rules: T6
#[test]
fn a_slow_move_away_counts_from_the_nearest_point() {
    let mut waiting = taken(throttle(), CENTRE, points(40)).instructor(1, points(30)).step();
    for back in [28, 26, 24, 22] {
        waiting = waiting.instructor(1, points(back)).step().waits_to_pick_up(&[1]);
    }
    waiting.instructor(1, points(21)).step().waits_to_pick_up(&[]).outputs(1, points(21));
}

/// Given `Pickup`, when the axis leaves the set by a late step, a lost instructor's signal or instructor now, then it
/// does not wait.
/// Rules: T6, K1, I1, T7
#[test]
fn no_wait_begins_at_a_late_step_a_loss_or_instructor_now() {
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

/// Given a wait, when a step is late, the instructor's signal is lost or instructor now is asked for, then it ends.
/// Rules: T6, K1, I1, T7
#[test]
fn a_late_step_a_loss_or_instructor_now_ends_a_wait() {
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

/// Given a wait, when it has lasted `pickup_max`, then the output fades from its last value to the stick.
/// Rules: T6, H4
#[test]
fn after_pickup_max_the_output_fades_to_the_stick() {
    let policy = with!(throttle(), pickup_max: ms(500), fade: ms(200));
    for (waited, over) in reached(ms(500)) {
        let lesson = taken(policy, CENTRE, points(40)).pass(waited).outputs(1, points(40));
        lesson.waits_to_pick_up(if over { &[] } else { &[1] });
    }
    let fading = taken(policy, CENTRE, points(40)).pass(ms(500)).waits_to_pick_up(&[]).outputs(1, points(40));
    // A quarter of the way down from 6554 units is 4915.5.
    let fading = fading.pass(ms(50)).outputs(1, units(4916)).pass(ms(50)).outputs(1, points(20));
    // The fade leads to the stick's present position.
    fading
        .instructor(1, points(-6))
        .pass(ms(99))
        .step_of(us(1000))
        .outputs(1, points(-6))
        .step()
        .outputs(1, points(-6));
}

/// Given a `fade` of 0, when the wait has lasted `pickup_max`, then the stick is output in that step.
/// Rules: T6, H4
#[test]
fn after_pickup_max_without_fade_the_stick_is_output_at_once() {
    let policy = with!(throttle(), pickup_max: ms(500));
    let almost = taken(policy, CENTRE, points(40)).pass(us(499_999)).outputs(1, points(40));
    almost.step_of(us(1)).outputs(1, CENTRE);
}

/// Given `pickup_max` 0, when the axis leaves the set, then it fades from that step on.
/// Rules: T6, H4
#[test]
fn pickup_max_0_fades_from_the_step_of_the_takeover_on() {
    let policy = with!(throttle(), pickup_max: ms(0), fade: ms(200));
    let fading = taken(policy, CENTRE, points(40)).waits_to_pick_up(&[]).outputs(1, points(40));
    fading.pass(ms(100)).outputs(1, points(20)).pass(ms(100)).outputs(1, CENTRE);
}

/// Given a wait that is over, when the stick meets the output in that step, then there is nothing to fade.
/// Rules: T6
#[test]
fn a_stick_met_in_the_last_step_of_a_wait_needs_no_fade() {
    let policy = with!(throttle(), pickup_max: ms(500), fade: ms(200));
    let almost = taken(policy, CENTRE, points(40)).pass(us(499_999)).waits_to_pick_up(&[1]);
    almost.clone().instructor(1, points(50)).step_of(us(1)).outputs(1, points(50)).step().outputs(1, points(50));
    // The same where the stick moves away by more than `engage`.
    almost.instructor(1, points(-9)).step_of(us(1)).outputs(1, points(-9));
}

/// Given scope `Axis`, when a waiting axis joins the set again, then it stops waiting.
/// Rules: T6
#[test]
fn in_scope_axis_an_axis_that_joins_again_stops_waiting() {
    let policy = with!(throttle(), scope: Scope::Axis, dwell: ms(100));
    let flying = lesson_with(policy).student(1, points(40)).student_flying();
    let waiting = flying.instructor(1, points(20)).step().student_has(axes(&[0])).waits_to_pick_up(&[1]);
    let free = waiting.instructor(1, points(0)).student(1, points(-30)).step().holds(&[]);
    // 20 points back is more than `engage`: the wait has ended. Within `engage` it goes on until the axis joins.
    drop(free.outputs(1, CENTRE));
    let flying = lesson_with(policy).student(1, points(12)).student_flying();
    let waiting = flying.instructor(1, points(9)).step().waits_to_pick_up(&[1]).instructor(1, points(2)).step();
    let waiting = waiting.holds(&[]).waits_to_pick_up(&[1]).outputs(1, points(12)).student(1, points(-30)).steps(5);
    waiting.waits_to_pick_up(&[1]).step().student_has_all().waits_to_pick_up(&[]).outputs(1, points(-30));
}

/// Given a wait, when the instructor's frames stay away for less than `timeout`, then it goes on.
/// Rules: T6
#[test]
fn a_wait_goes_on_while_frames_are_missing_up_to_timeout() {
    let waiting = taken(throttle(), CENTRE, points(40)).instructor_frames(false).pass(ms(140));
    waiting.waits_to_pick_up(&[1]).outputs(1, points(40));
}

/// Given two axes that wait, when one is picked up, then the other goes on waiting.
/// Rules: T6
#[test]
fn each_axis_ends_its_own_wait() {
    let policy = with!(bare(), axes: [AxisRule::sprung(), parked(CENTRE), parked(CENTRE)]);
    let flying = lesson_with(policy).student_sticks([CENTRE, points(40), points(-40)]).student_flying();
    let waiting = flying.roll(3).step().waits_to_pick_up(&[1, 2]);
    let one = waiting.instructor(2, points(-50)).step().waits_to_pick_up(&[1]).outputs(1, points(40));
    one.outputs(2, points(-50));
}

/// Given `Pickup` and a fade, when the craft is taken, then the last output stays.
/// Rules: T6, T2
#[test]
fn a_takeover_in_a_fade_keeps_the_last_output() {
    let policy = with!(throttle(), fade: ms(200));
    let fading = lesson_with(policy).student(1, points(80)).student_just_got_it().pass(ms(100)).outputs(1, points(40));
    // Without the takeover, the fade would have gone on to 48 points in this step.
    fading.roll(3).step().waits_to_pick_up(&[1]).outputs(1, points(40));
}

/// Given the widest travel, when stick and output are at opposite ends, then their distance does not wrap.
/// Rules: T6, N1
#[test]
fn the_distance_between_stick_and_output_does_not_wrap() {
    let ends = [around(Deflection::MIN, 1), Deflection::MAX];
    for (x, h) in [(ends[0], ends[1]), (ends[1], ends[0])] {
        let mut policy = with!(throttle(), plausible: Deflection::MAX);
        policy.axes[1].rest = Rest::At(x);
        let waiting = taken(policy, x, h).waits_to_pick_up(&[1]).outputs(1, h);
        let offset = waiting.outcome().pickup_offset(1).expect("it waits");
        assert_eq!(offset, if x < h { Deflection::MIN } else { Deflection::MAX }, "it saturates");
        waiting.instructor(1, CENTRE).step().waits_to_pick_up(&[1]).instructor(1, h).step().waits_to_pick_up(&[]);
    }
}

/// Given axes that are not shared, when the craft is taken, then they never wait.
/// Rules: T6
#[test]
fn an_axis_that_is_not_shared_never_waits() {
    let mut policy = with!(sprung::<2>(), shared: axes(&[0]));
    policy.axes[1] = parked(CENTRE);
    let taken = lesson_with(policy).student(1, points(40)).student_flying().roll(3).step();
    taken.waits_to_pick_up(&[]).outputs(1, CENTRE);
}
