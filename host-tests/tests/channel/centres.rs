//! Two transmitters whose sticks rest in different places: a handover between resting sticks moves nothing.

use std::fs;
use std::path::Path;

use handback::{
    AxisRule, AxisSet, Cause, Channel, Channels, CheckedChannels, Deflection, Frame, Micros, Policy, Pulse, Rest,
};
use handback_host_tests::{Lesson, STEP, lesson_with, ms, points, sprung, units, with};

use crate::oracle::{limited, us};

/// Aileron, elevator and rudder.
type Three = CheckedChannels<Micros, 3, 3>;

const ALL: AxisSet = AxisSet::first(3);

/// Where the sticks of the recorded transmitter rested: the medians of three channels that nobody touched, in
/// microseconds. Recording: `data/fixedwing_channels_4hz.csv`, provenance in `data/README.md`.
fn recorded_rests() -> [Pulse; 3] {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data/fixedwing_channels_4hz.csv");
    let text = fs::read_to_string(&path).unwrap_or_else(|why| panic!("{}: {why}", path.display()));
    let mut lines = text.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let head = lines.next().expect("a head line");
    let lines: Vec<_> = lines.collect();
    ["us1", "us2", "us4"].map(|name| {
        let place = head.iter().position(|&column| column == name).expect("the column is there");
        let mut micros: Vec<u32> = lines.iter().map(|line| line[place].parse().expect("a pulse width")).collect();
        micros.sort_unstable();
        us(micros[micros.len() / 2])
    })
}

/// The instructor's nominal transmitter, and the readings of its sticks at rest with the craft in trim.
fn instructor() -> (Three, [Pulse; 3]) {
    (Channels::pulses().check().expect("a good set-up"), [1520, 1485, 1506].map(us))
}

/// The student's set-up with the learnt centres, before it is brought to the instructor's rests.
fn student_learnt() -> Channels<Micros, 3, 3> {
    let rests = recorded_rests();
    let channel = |number: u8| with!(Channel::pulse(number), centre: rests[usize::from(number)]);
    Channels::new([0, 1, 2].map(channel))
}

/// A policy with the rests of the instructor's sticks.
fn policy(rests: Frame<3>) -> Policy<3> {
    with!(sprung(), axes: rests.axes().map(|rest| with!(AxisRule::sprung(), rest: Rest::At(rest))))
}

/// A lesson from the start until the student flies with both transmitters untouched, and the largest step that an axis
/// of the output has made since, in units.
fn hand_over(student_rests: Frame<3>) -> (Lesson<3>, u16) {
    let (channels, at_rest) = instructor();
    let rests = channels.frame(&at_rest);
    let mut lesson = lesson_with(policy(rests)).instructor_sticks(*rests.axes()).student_sticks(*student_rests.axes());
    lesson = lesson.off_first_and_on();
    let (mut worst, mut before) = (0, lesson.outcome().output);
    let long = ms(2000).as_ticks() / STEP.as_ticks();
    for _ in 0..long {
        lesson = lesson.step();
        let now = lesson.outcome().output;
        worst = now.axes().iter().zip(before.axes()).fold(worst, |w, (a, b)| w.max(a.to_bits().abs_diff(b.to_bits())));
        before = now;
    }
    (lesson.student_has_all(), worst)
}

/// Given two transmitters at rest whose centres were brought together, when the craft changes hands, then nothing
/// moves. Without that, the output moves.
/// Rules: H1, H4
#[test]
fn a_handover_between_resting_transmitters_moves_nothing() {
    let (channels, at_rest) = instructor();
    let rests = channels.frame(&at_rest);
    let student = student_learnt().meeting(&rests, ALL).check().expect("a good set-up");
    let student_rests = student.frame(&recorded_rests());
    assert_eq!(student_rests, rests, "the resting sticks are the same deflections, to the unit");

    let (lesson, worst) = hand_over(student_rests);
    assert_eq!(worst, 0, "nothing moved from the instructor's last frame to the student's");
    // The other way: the instructor takes over by a nudge of the aileron, and elevator and rudder stay where they
    // were.
    let [aileron, elevator, rudder] = *rests.axes();
    let nudged = units(aileron.to_bits() + points(3).to_bits());
    lesson.instructor(0, nudged).step().because(Cause::Stick(0)).outputs(1, elevator).outputs(2, rudder);

    // The same two transmitters, each read for what it sends: 16.2 points of elevator is what a hand-back would cost.
    let unmet = channels.frame(&recorded_rests());
    let (lesson, worst) = hand_over(unmet);
    assert!(worst > 0, "in steps of a fade, but it moves");
    let off = lesson.output(1).to_bits().abs_diff(elevator.to_bits());
    assert_eq!(Deflection::from_bits(i16::try_from(off).expect("small")).to_string(), "16.20 points");
}

/// Given some axes that are brought to the instructor's rests, when that is done, then the other axes keep their trim
/// and their channel.
#[test]
fn meeting_some_axes_changes_only_their_trim() {
    let rests = Frame::new([points(4), points(-3), points(-100)]);
    let learnt = student_learnt();
    let met = learnt.meeting(&rests, AxisSet::of(&[0, 1]));
    assert_eq!(met.axes.map(|axis| axis.map(|channel| channel.trim)), [4, -3, 0].map(points).map(Some));
    let untrimmed = met.axes.map(|axis| axis.map(|channel| with!(channel, trim: Deflection::CENTRE)));
    assert_eq!(untrimmed, learnt.axes, "nothing else changed");
    let absent = Channels::<Micros, 3, 3> { axes: [None; 3] };
    assert_eq!(absent.meeting(&rests, ALL), absent, "what has no channel has no centre");
}

/// Given a student's set-up brought to the instructor's rests, when the stick moves, then rate and limit apply about
/// the instructor's rest.
#[test]
fn rate_and_limit_are_about_the_centre_that_was_met() {
    let (channels, at_rest) = instructor();
    let rests = channels.frame(&at_rest);
    let mut student = student_learnt();
    for channel in student.axes.iter_mut().flatten() {
        *channel = with!(limited(*channel, points(40)), rate: points(50));
    }
    let student = student.meeting(&rests, ALL).check().expect("a good set-up");
    for (end, way) in [(us(2000), points(40)), (us(1000), points(-40)), (us(2250), points(40))] {
        let frame = student.frame(&[end; 3]);
        let expected = rests.axes().map(|rest| units(rest.to_bits() + way.to_bits()));
        assert_eq!(*frame.axes(), expected, "{end}");
    }
}

/// Given a throttle at idle, when its rest is taken for a trim, then the check refuses it and names axis and field.
#[test]
fn a_throttle_at_idle_is_refused_as_a_trim() {
    let idle = Frame::new([points(0), points(0), points(-100)]);
    let why = student_learnt().meeting(&idle, ALL).check().expect_err("no trim is that large");
    assert_eq!(why.to_string(), "axis 2: trim is -100.00 points: it must be within 30.00 points either side of centre");
}
