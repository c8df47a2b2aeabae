//! H4: how an output moves while control does.

use handback::{AxisRule, Cause, Deflection, Latches, Policy, Scope};
use handback_host_tests::{Lesson, axes, bare, lesson_with, ms, parked, points, units, us, with};
use proptest::prelude::*;

const CENTRE: Deflection = Deflection::CENTRE;

/// Every timer but the fade is 0.
fn fade<const N: usize>(fade: u32) -> Policy<N> {
    with!(bare(), fade: ms(fade))
}

/// H4 in whole numbers, as in the contract: W is rounded down, the sum to nearest, halves away from zero.
fn line(from: Deflection, to: Deflection, elapsed: u32, fade: u32) -> Deflection {
    let weight = if elapsed >= fade { 1 << 14 } else { (i64::from(elapsed) << 14) / i64::from(fade) };
    let (from, to) = (i64::from(from.to_bits()), i64::from(to.to_bits()));
    let sum = (from << 14) + (to - from) * weight;
    let rounded = (sum.abs() + (1 << 13)) >> 14;
    units(i16::try_from(rounded * sum.signum()).expect("between two deflections"))
}

/// The output `at` ms into a fade of 200 ms.
fn fading(from: Deflection, to: Deflection, at: u32) -> Deflection {
    line(from, to, at * 1000, 200_000)
}

/// Given a fade, when the student gets the craft, then the output moves from its last value to the student's live
/// stick.
/// Rules: H4
#[test]
fn a_fade_moves_the_output_to_the_students_live_stick() {
    let joined = lesson_with(fade::<2>(200)).student(0, points(40)).student_just_got_it().outputs(0, CENTRE);
    let quarter = joined.pass(ms(50)).outputs(0, fading(CENTRE, points(40), 50));
    let moved = quarter.student(0, points(-40)).pass(ms(100)).outputs(0, fading(CENTRE, points(-40), 150));
    moved.pass(us(49_999)).step_of(us(1)).outputs(0, points(-40)).student(0, points(7)).step().outputs(0, points(7));
}

/// Given a fade of 0, when the student gets the craft, then the student's stick is output in that step.
/// Rules: H4
#[test]
fn a_fade_of_0_outputs_the_students_stick_at_once() {
    lesson_with(fade::<2>(0)).student(0, points(40)).student_just_got_it().outputs(0, points(40));
}

/// Given a fade, when it is almost over, then the output has not arrived. From `fade` on it has.
/// Rules: H4
#[test]
fn the_output_arrives_once_fade_has_elapsed_and_not_before() {
    let joined = lesson_with(fade::<1>(200)).student(0, units(i16::MAX / 2)).student_just_got_it();
    let almost = joined.pass(us(199_999));
    assert_ne!(almost.output(0), units(i16::MAX / 2), "W is 2^14 - 1");
    almost.step_of(us(1)).outputs(0, units(i16::MAX / 2));
}

/// Given a sum that ends in half a unit, when it is rounded, then it goes away from zero, on both sides of zero.
/// Rules: H4, N3
#[test]
fn a_half_unit_is_rounded_away_from_zero() {
    let half_ways =
        [(0, 1, 1), (0, 3, 2), (0, 2, 1), (1, 0, 1), (3, 0, 2), (2, -1, 1), (1, -2, -1), (1, -1, 0), (5, 6, 6)];
    for (from, to, half_way) in half_ways {
        for mirrored in [1, -1] {
            let [from, to, half_way] = [from, to, half_way].map(|value| units(value * mirrored));
            let joined = lesson_with(fade::<1>(200)).instructor(0, from).student(0, to).student_just_got_it();
            joined.outputs(0, from).pass(ms(100)).outputs(0, half_way);
        }
    }
}

/// Given a fade that does not divide evenly, when time passes, then the weight is rounded down.
/// Rules: H4
#[test]
fn the_weight_of_a_fade_is_rounded_down() {
    // One third of 3 us: W = floor(16384 / 3) = 5461; 16383 * 5461 / 16384 = 5460.67.
    let policy = with!(bare::<1>(), fade: us(3));
    let joined = lesson_with(policy).student(0, units(16383)).student_just_got_it();
    joined.step_of(us(1)).outputs(0, units(5461)).step_of(us(1)).outputs(0, units(10921)); // W 10922: 10921.33
}

/// Given scope `Axis` and an axis that still fades, when another axis begins to fade, then the first begins again from
/// its last output.
/// Rules: H4
#[test]
fn a_second_fade_restarts_one_that_still_runs() {
    let policy = with!(fade::<2>(200), scope: Scope::Axis);
    let sticks = [points(80), points(80)];
    // Axis 0 is held while axis 1 joins. Axis 0 becomes free 100 ms into the fade and joins in the next step.
    let one = lesson_with(policy).roll(3).student_sticks(sticks).off_first_and_on().step().student_has(axes(&[1]));
    let almost = one.outputs(1, CENTRE).pass(ms(80)).outputs(1, fading(CENTRE, points(80), 80));
    let half_way = fading(CENTRE, points(80), 100);
    let half = almost.roll(0).step().outputs(1, half_way);
    // The timer begins at 0 for both axes: axis 1 stays at its last output in this step.
    let both = half.step().student_has_all().outputs(0, CENTRE).outputs(1, half_way);
    let on =
        both.pass(ms(100)).outputs(0, fading(CENTRE, points(80), 100)).outputs(1, fading(half_way, points(80), 100));
    on.pass(ms(100)).outputs(0, points(80)).outputs(1, points(80));
}

/// Given scope `Axis`, an axis that still fades and another that waits, when a third begins to fade, then the first begins
/// again from its last output all the same.
/// Rules: H4, T6
#[test]
fn a_second_fade_restarts_one_while_a_third_axis_waits() {
    let axes_of = [AxisRule::sprung(), AxisRule::sprung(), parked(CENTRE)];
    let policy = with!(fade(200), axes: axes_of, scope: Scope::Axis, pickup_max: ms(2000));
    let flying = lesson_with(policy).student_sticks([points(80), points(80), points(40)]).student_flying();
    let waiting = flying.instructor(2, points(20)).step().waits_to_pick_up(&[2]);
    let held = waiting.roll(3).instructor(1, points(3)).step().holds(&[0, 1, 2]);
    let one = held.instructor(1, CENTRE).steps(2).student_has(axes(&[1])).outputs(1, CENTRE);
    let half_way = fading(CENTRE, points(80), 100);
    let half = one.pass(ms(80)).roll(0).step().outputs(1, half_way);
    let both = half.step().student_has(axes(&[0, 1])).outputs(0, CENTRE).outputs(1, half_way);
    let on = both.pass(ms(100)).waits_to_pick_up(&[2]);
    on.outputs(0, fading(CENTRE, points(80), 100)).outputs(1, fading(half_way, points(80), 100));
}

/// Given scope `Axis` and an axis whose fade is over, when another axis begins to fade, then the first stays with the
/// student.
/// Rules: H4
#[test]
fn a_second_fade_does_not_restart_one_that_is_over() {
    let policy = with!(fade::<2>(200), scope: Scope::Axis);
    let one = lesson_with(policy).roll(3).student(1, points(80)).off_first_and_on().step().pass(ms(200));
    let both = one.outputs(1, points(80)).roll(0).steps(2).student_has_all().student(1, points(-50)).step();
    both.outputs(1, points(-50));
}

/// A policy whose axis 1 waits for its pickup for `pickup_max` ms, then fades to the instructor in 200 ms.
fn picked_up(pickup_max: u32) -> Policy<2> {
    with!(fade(200), axes: [AxisRule::sprung(), parked(CENTRE)], pickup_max: ms(pickup_max))
}

/// The stick of axis 0 took the craft from the student, and the wait of axis 1 ran out `ago` ms before.
fn fading_to_the_instructor(policy: Policy<2>, ago: u32) -> Lesson<2> {
    let flying = lesson_with(policy).student(1, points(40)).student_flying();
    let over = flying.roll(3).step().pass(policy.pickup_max).outputs(1, points(40)).waits_to_pick_up(&[]);
    over.pass(ms(ago))
}

/// Given a fade to the instructor, when a stick becomes held that takes the axis, then the fade is cut short.
/// Rules: H4, T2
#[test]
fn a_stick_that_takes_an_axis_cuts_its_fade_short() {
    let fading = fading_to_the_instructor(picked_up(100), 100).outputs(1, points(20));
    let fading = fading.holds(&[0]).instructor(1, points(8)).step().holds(&[0]);
    assert_ne!(fading.output(1), points(8), "at engage it is not held, and still fades");
    fading.instructor(1, points(9)).step().holds(&[0, 1]).outputs(1, points(9));
}

/// Given scope `Axis` and a fade to the instructor, when the stick of another axis becomes held, then the fade goes on.
/// Rules: H4, T2
#[test]
fn in_scope_axis_another_stick_cuts_no_fade_short() {
    let policy = with!(picked_up(100), scope: Scope::Axis);
    let flying = lesson_with(policy).student(1, points(40)).student_flying();
    let over = flying.instructor(1, points(20)).step().waits_to_pick_up(&[1]).pass(ms(100)).waits_to_pick_up(&[]);
    over.pass(ms(80))
        .outputs(1, fading(points(40), points(20), 80))
        .roll(3)
        .step()
        .holds(&[0, 1])
        .outputs(1, fading(points(40), points(20), 100));
}

/// Given scope `Axis`, when T4 empties a set that was not empty, then every fade is cut short.
/// Rules: H4, T4
#[test]
fn t4_that_empties_the_set_cuts_every_fade_short() {
    let policy = with!(picked_up(100), scope: Scope::Axis);
    let flying = lesson_with(policy).student(1, points(40)).student_flying();
    let begun = flying.instructor(1, points(20)).step().pass(ms(100)).outputs(1, points(40)).student_has(axes(&[0]));
    let half = begun.clone().pass(ms(100)).outputs(1, fading(points(40), points(20), 100));
    let silent = begun.student_frames(false).pass(ms(140)).outputs(1, fading(points(40), points(20), 140));
    let causes: [Lesson<2>; 3] =
        [half.clone().switch_off().step(), half.step_with_bad_frame(), silent.step().because(Cause::LinkLost)];
    for lesson in causes {
        lesson.instructor_has_the_craft().outputs(1, points(20)).step().outputs(1, points(20));
    }
}

/// Given a set that has long been empty, when T4 begins to ask for the craft, then a fade to the instructor is cut
/// short.
/// Rules: H4, T4
#[test]
fn t4_cuts_a_fade_short_though_the_set_was_empty_before() {
    let fading_at = |at| fading(points(40), CENTRE, at);
    let fading = || fading_to_the_instructor(picked_up(100), 80).outputs(1, fading_at(80));
    fading().step().outputs(1, points(20));
    fading().switch_off().step().outputs(1, CENTRE);
    fading().step_with_bad_frame().outputs(1, CENTRE);
    // The link is lost 160 ms after its last frame, 180 ms into the fade.
    let begun = fading_to_the_instructor(picked_up(100), 20).student_frames(false);
    begun.pass(ms(140)).outputs(1, fading_at(160)).step().outputs(1, CENTRE);
}

/// Given a latch, when a wait times out under it, then the axis still fades.
/// Rules: H4, H2
#[test]
fn a_wait_that_times_out_under_a_latch_still_fades() {
    let policy = with!(picked_up(100), latches: Latches { lasted: Some(ms(0)), beyond: None });
    fading_to_the_instructor(policy, 100).outputs(1, points(20)).pass(ms(100)).outputs(1, CENTRE);
}

/// Given `pickup_max` 0, when T4 empties the set, then an axis that begins to fade in that step fades.
/// Rules: H4, T6
#[test]
fn t4_does_not_cut_a_fade_short_that_begins_in_its_step() {
    let flying = || lesson_with(picked_up(0)).student(1, points(40)).student_flying();
    // T4 goes on asking for the craft after the first two; in the third it never asks.
    let taken = [flying().switch_off().step(), flying().step_with_bad_frame().switch_off(), flying().roll(3).step()];
    for taken in taken {
        let taken = taken.instructor_has_the_craft().waits_to_pick_up(&[]).outputs(1, points(40));
        taken.pass(ms(100)).outputs(1, points(20)).pass(ms(100)).outputs(1, CENTRE);
    }
}

/// Given a fade to the instructor, when the instructor's signal is lost or a step is late, then the fade is cut short.
/// Rules: H4, I1, K1
#[test]
fn a_lost_signal_or_a_late_step_cuts_a_fade_short() {
    let slow = with!(picked_up(100), fade: ms(10_000));
    let fading = || fading_to_the_instructor(slow, 1000).outputs(1, line(points(40), CENTRE, 1, 10));
    fading().instructor_frames(false).pass(ms(160)).outputs(1, CENTRE);
    fading().step_of(us(150_000)).waits_to_pick_up(&[]);
    fading().step_of(us(150_001)).outputs(1, CENTRE);
    fading().step_of(us(250_001)).outputs(1, CENTRE).step().outputs(1, CENTRE);
    assert_ne!(fading().step_of(us(150_000)).output(1), CENTRE, "the signal is not lost yet");
}

/// Given a fade to the student, when the axis leaves the set, then it stops fading.
/// Rules: H4
#[test]
fn an_axis_that_leaves_the_set_stops_fading() {
    let fading = lesson_with(fade::<2>(200)).student(0, points(80)).student_just_got_it().pass(ms(100));
    fading.outputs(0, points(40)).switch_off().step().outputs(0, CENTRE).pass(ms(100)).outputs(0, CENTRE);
}

/// Given a fade to the instructor, when the axis joins the set again, then it fades to the student from its last
/// output.
/// Rules: H4, T6
#[test]
fn an_axis_that_joins_again_fades_from_its_last_output() {
    let policy = with!(picked_up(100), fade: ms(400));
    let fading = fading_to_the_instructor(policy, 180).roll(0).step().outputs(1, points(20));
    let joined = fading.student(1, points(-40)).step().student_has_all().outputs(1, points(20));
    joined.pass(ms(200)).outputs(1, line(points(20), points(-40), 1, 2)).pass(ms(200)).outputs(1, points(-40));
}

/// Given a student whose frames stay away for less than `timeout`, when an axis fades, then it fades to the last good
/// frame.
/// Rules: H4
#[test]
fn a_fade_goes_on_to_the_students_last_good_frame() {
    let joined = lesson_with(fade::<1>(200)).student(0, points(80)).student_just_got_it();
    joined.student_frames(false).student(0, points(-80)).pass(ms(100)).outputs(0, points(40));
}

proptest! {
    /// Given any two deflections and any fade, when time passes, then the output is on the line of H4, within 4.5 units
    /// of the exact one.
    /// Rules: H4, N1, N3
    #[test]
    fn any_fade_keeps_to_the_line(
        from in -32767i16..,
        to in -32767i16..,
        fade in prop_oneof![1u32..100, 1u32..=1_000_000, Just(1 << 31)],
        steps in prop::collection::vec(1u32..=100_000, 1..40),
    ) {
        let mut policy = with!(bare::<1>(), fade: us(fade), plausible: Deflection::MAX);
        policy.axes[0].rest = handback::Rest::At(units(from)); // far out, but at rest
        let mut lesson = lesson_with(policy).instructor(0, units(from)).student(0, units(to)).off_first_and_on().step();
        let mut elapsed = 0u32;
        lesson = lesson.student_has_all().outputs(0, line(units(from), units(to), 0, fade));
        for dt in steps {
            lesson = lesson.step_of(us(dt));
            elapsed = elapsed.saturating_add(dt);
            prop_assert_eq!(lesson.output(0), line(units(from), units(to), elapsed, fade));
            let part = (f64::from(elapsed) / f64::from(fade)).min(1.0);
            let exact = f64::from(from) + (f64::from(to) - f64::from(from)) * part;
            prop_assert!((f64::from(lesson.output(0).to_bits()) - exact).abs() <= 4.5, "N3: 4.5 units from the line");
        }
    }
}
