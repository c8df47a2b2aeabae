//! The record of a lesson: totals and the last events, against a lesson that can be counted by hand.

use handback::{
    AxisRule, AxisSet, Cause, CheckedPolicy, Deflection, Engine, Event, Frame, Inputs, Instant, Outcome, Pilot, Policy,
    Record, TotalTime,
};
use handback_host_tests::with;

const STEP_US: u32 = 20_000;

/// Two sprung axes; control changes hands after a dwell of 100 ms, without any other wait.
fn policy() -> CheckedPolicy<2> {
    let at_once = handback::Duration::from_millis(0);
    with!(Policy::new([AxisRule::sprung(); 2]), settle: handback::Duration::from_ticks(1), requalify: at_once, fade: at_once, dwell: handback::Duration::from_millis(100))
    .check()
    .expect("a good policy")
}

/// An engine whose outcomes are all noted in a record.
struct Flight<'p> {
    engine: Engine<2, &'p CheckedPolicy<2>>,
    record: Record<2, 4>,
    now: u32,
}

impl<'p> Flight<'p> {
    /// The student flies from the ninth step on: two steps off to be seen off first, two steps on to settle and start
    /// the dwell, five to end it.
    fn begun(policy: &'p CheckedPolicy<2>, start: u32) -> Self {
        let mut flight = Self { engine: Engine::new(policy), record: Record::new(), now: start };
        flight.steps(2, Frame::CENTRE, false).steps(7, Frame::CENTRE, true);
        assert_eq!(flight.record.totals().student_time, us(0), "the student has only just got the craft");
        flight
    }

    fn steps(&mut self, count: u32, instructor: Frame<2>, lesson_switch: bool) -> &mut Self {
        self.note(
            count,
            Inputs {
                instructor: Some(&instructor),
                student: Some(&Frame::CENTRE),
                lesson_switch,
                instructor_now: false,
            },
        )
    }

    fn note(&mut self, count: u32, inputs: Inputs<'_, 2>) -> &mut Self {
        for _ in 0..count {
            self.record.note(&self.engine.step(Instant::from_ticks(self.now), inputs));
            self.now = self.now.wrapping_add(STEP_US);
        }
        self
    }
}

fn us(ticks: u64) -> TotalTime {
    TotalTime::from_ticks(ticks)
}

fn axis_at(axis: usize, points: i16) -> Frame<2> {
    let mut frame = Frame::CENTRE;
    frame.axes_mut()[axis] = Deflection::from_points(points);
    frame
}

/// Given a takeover of fifteen steps by one stick and one of ten by the other, when the record is read, then it tells
/// the two apart by number, axis, length and time held.
/// Rules: A1, T2
#[test]
fn takeovers_are_counted_by_cause_axis_and_length() {
    let policy = policy();
    let mut flight = Flight::begun(&policy, 0);
    // Held for 10 steps; then free for one step that starts the dwell and five that end it.
    flight.steps(10, axis_at(1, 5), true).steps(10, Frame::CENTRE, true);
    flight.steps(15, axis_at(0, -5), true).steps(10, Frame::CENTRE, true);
    let totals = flight.record.totals();
    assert_eq!(totals.takeovers, 2);
    assert_eq!(totals.takeovers_by(Cause::Stick(0)), 2, "of all axes");
    assert_eq!(totals.by_axis, [1, 1]);
    assert_eq!(totals.held_time, [us(15 * 20_000), us(10 * 20_000)]);
    // The step that lets go breaks the dwell, the next one starts it, and five more end it.
    assert_eq!(totals.shortest_takeover, Some(us(16 * 20_000)));
    assert_eq!(totals.longest_takeover, Some(us(21 * 20_000)));
    // 1 step until the first takeover, then 4 and 3 of the ten free ones: the time of the last has not passed.
    assert_eq!(totals.student_time, us((1 + 4 + 3) * 20_000));
    assert_eq!(totals.lesson_time, us((2 + 7 + 20 + 25 - 1) * 20_000));
}

/// Given missing and bad frames, when the record is read, then it counts them by side, and each loss once.
/// Rules: L3, I1, T4
#[test]
fn lost_and_bad_frames_are_counted_by_side() {
    let policy = policy();
    let mut flight = Flight::begun(&policy, 0);
    let centre = Frame::CENTRE;
    let bad = Frame::new([Deflection::MIN; 2]);
    let silent_student = Inputs { instructor: Some(&centre), lesson_switch: true, ..Inputs::default() };
    // 150 ms are 7.5 steps.
    flight.note(8, silent_student).note(1, Inputs { student: Some(&bad), ..silent_student });
    flight.note(2, Inputs { instructor: Some(&bad), student: Some(&centre), ..silent_student });
    let totals = flight.record.totals();
    assert_eq!((totals.student.missing, totals.student.bad, totals.student.losses), (8, 1, 1));
    assert_eq!((totals.instructor.missing, totals.instructor.bad, totals.instructor.losses), (0, 2, 0));
    assert_eq!((totals.instructor.good, totals.student.good), (18, 11));
    assert_eq!(totals.takeovers_by(Cause::LinkLost), 1);
    assert_eq!(totals.takeovers_by(Cause::BadFrame), 0, "the student had nothing to lose");
}

/// Given more events than the ring holds, when it is read, then it has the last events, the oldest first.
/// Rules: A1
#[test]
fn the_ring_keeps_the_last_events() {
    let policy = policy();
    let mut flight = Flight::begun(&policy, 0);
    for axis in [0, 1, 0, 1] {
        flight.steps(2, axis_at(axis, 5), true).steps(10, Frame::CENTRE, true);
    }
    let causes: Vec<_> = flight.record.events().map(|event| event.cause).collect();
    assert_eq!(causes, [Cause::Stick(0), Cause::HandedBack, Cause::Stick(1), Cause::HandedBack]);
    let times: Vec<_> = flight.record.events().map(|event| event.at.as_ticks()).collect();
    assert!(times.is_sorted(), "{times:?}");
}

/// Given a clock that wraps in mid-lesson, when the record is read, then no total is different.
#[test]
fn a_wrapping_clock_changes_no_total() {
    let policy = policy();
    let mut early = Flight::begun(&policy, 0);
    let mut late = Flight::begun(&policy, u32::MAX - 10 * STEP_US);
    for flight in [&mut early, &mut late] {
        flight.steps(10, axis_at(1, 5), true).steps(10, Frame::CENTRE, true);
    }
    assert_eq!(early.record.totals(), late.record.totals());
}

/// Given steps that come late and an instructor's signal that stays lost, when the record is read, then no time is added for
/// a late step, and the signal is lost once. Also of a record by `default`.
/// Rules: K1, I1
#[test]
fn a_late_step_adds_no_time_and_a_loss_counts_once() {
    let policy = policy();
    let mut flight = Flight::begun(&policy, 0);
    flight.record = Record::default();
    flight.steps(3, Frame::CENTRE, true);
    assert_eq!(flight.record.totals().lesson_time, us(2 * 20_000));
    let late = policy.policy().late_step.as_ticks();
    flight.now += late + 1;
    flight.steps(1, Frame::CENTRE, true);
    let totals = flight.record.totals();
    assert_eq!((totals.lesson_time, totals.takeovers_by(Cause::LateStep)), (us(2 * 20_000), 1));
    flight.note(30, Inputs { student: Some(&Frame::CENTRE), ..Inputs::default() });
    let totals = flight.record.totals();
    assert_eq!((totals.instructor.missing, totals.instructor.losses), (30, 1));
}

/// Given an event by a stick that the frame does not have, as only a foreign outcome can name, when it is noted, then the
/// takeover counts and no axis does.
#[test]
fn a_stick_that_the_frame_lacks_counts_for_no_axis() {
    let policy = policy();
    let mut engine = Engine::new(&policy);
    let outcome = engine.step(Instant::from_ticks(0), Inputs::default());
    let student = Pilot::with_student(AxisSet::first(2));
    let event = Event { at: outcome.at, from: student, to: Pilot::Instructor, cause: Cause::Stick(2) };
    let mut record = Record::<2, 4>::new();
    record.note(&Outcome { event: Some(event), ..outcome });
    assert_eq!((record.totals().takeovers, record.totals().by_axis), (1, [0, 0]));
}
