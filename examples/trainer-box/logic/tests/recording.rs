//! When the engine takes a step, when a recording begins, and that nobody notices it.

mod flown;

use flown::{AXES, Flown, Lesson, PLAN, plan};
use handback::{CheckedPolicy, Engine, Inputs, Instant, Outcome, Pilot, Reception};
use outcome_digest::{Crc32, OutcomeBytes};
use trainer_box::{Desk, Side};

/// An engine that takes the steps of the rows and never begins again.
struct Uninterrupted(Engine<AXES, CheckedPolicy<AXES>>);

impl Uninterrupted {
    fn new() -> Self {
        Self(Engine::owning(plan().policy.check().expect("in order")))
    }

    fn step(&mut self, row: &Flown) -> Outcome<AXES> {
        self.0.step(row.at, inputs(row))
    }
}

fn inputs(row: &Flown) -> Inputs<'_, AXES> {
    Inputs {
        instructor: row.instructor.as_ref().map(|received| &received.frame),
        student: row.student.as_ref().map(|received| &received.frame),
        lesson_switch: row.desk.lesson_switch,
        instructor_now: row.desk.instructor_now,
    }
}

/// Given a lesson with all that people do, when recordings begin in it, then the output of that step is that of an
/// engine that never begins again, the instructor flies before and after, and the student waits for the link for the
/// whole of `requalify`.
#[test]
fn a_new_recording_changes_nothing_for_people() {
    let (mut restarts, mut flown) = (0, 0);
    for seed in 0..8 {
        let (mut lesson, mut old) = (Lesson::new(seed), Uninterrupted::new());
        let (mut before, mut began) = (None::<Outcome<AXES>>, None);
        for _ in 0..600_000 {
            let step = lesson.step(|_, _| ());
            let Some(row) = lesson.trainer_box.row() else { continue };
            let uninterrupted = old.step(row);
            if let (true, Some(before)) = (row.begins, before) {
                assert_eq!((before.pilot, step.outcome.pilot), (Pilot::Instructor, Pilot::Instructor));
                assert_eq!(uninterrupted.output, step.outcome.output, "at {}", row.at);
                assert_eq!((uninterrupted.pilot, uninterrupted.event), (Pilot::Instructor, None));
                assert_eq!((step.outcome.instructor, row.desk.lesson_switch), (Reception::Good, false));
                old = Uninterrupted::new();
                let _ = old.step(row);
                (began, restarts) = (Some(row.at.as_ticks()), restarts + 1);
            }
            if !step.outcome.pilot.student().is_empty() {
                flown += 1;
                assert!(began.is_none_or(|began| row.at.as_ticks() - began >= 1_000_000), "it must qualify again");
            }
            before = Some(step.outcome);
        }
    }
    assert!(restarts > 50 && flown > 50_000, "{restarts} recordings, {flown} steps of the student");
}

/// Given a lesson, when each recording is replayed from its first row, then every check value is that of the box.
#[test]
fn every_recording_replays_to_the_same_check_values() {
    let mut rows = 0;
    // The clock of the second lesson wraps after a minute.
    for (seed, start) in [(11, 0), (12, u32::MAX - 60_000_000)] {
        let mut lesson = Lesson::starting_at(seed, start);
        let (mut engine, mut check) = (Uninterrupted::new(), Crc32::new());
        for _ in 0..200_000 {
            let _ = lesson.step(|_, _| ());
            let Some(row) = lesson.trainer_box.row() else { continue };
            if row.begins {
                (engine, check) = (Uninterrupted::new(), Crc32::new());
            }
            OutcomeBytes::of(&engine.step(row)).digest(&mut check);
            assert_eq!(check.value(), row.check, "at {}", row.at);
            rows += 1;
        }
    }
    assert!(rows > 30_000, "{rows}");
}

/// Given a switch that stays off, when recordings begin, then none begins within 10 s of another (the first counts from
/// the start, a step before its first row), and none is older
/// than 10 s and a frame when the switch goes on.
#[test]
fn a_recording_begins_at_most_ten_seconds_before_the_switch() {
    let mut lesson = Lesson::new(5);
    (lesson.switches, lesson.lively) = (false, false);
    let mut restarts = Vec::new();
    for _ in 0..65_000 {
        let _ = lesson.step(|_, _| ());
        if lesson.trainer_box.row().is_some_and(|row| row.begins) {
            restarts.push(lesson.now / 1_000);
        }
    }
    assert_eq!(restarts.len(), 7, "{restarts:?}");
    assert!(restarts.windows(2).all(|pair| (9_999..=10_025).contains(&(pair[1] - pair[0]))), "{restarts:?}");
}

/// Given a switch that is on, or off for less than a second, when time passes, then no recording begins.
#[test]
fn no_recording_begins_with_the_switch_on() {
    let mut lesson = Lesson::new(6);
    (lesson.switches, lesson.lively) = (false, false);
    for ms in 0..60_000 {
        lesson.desk.lesson_switch = ms % 5_000 < 4_050;
        let _ = lesson.step(|_, _| ());
        assert!(lesson.trainer_box.row().is_none_or(|row| !row.begins || ms == 0), "{ms} ms");
    }
}

/// Given two transmitters of 50 frames a second, when the box is stepped each millisecond, then the engine takes a step
/// for every frame, and one every 10 ms at least; in between, outcome and pulses stand, and nothing is told twice.
#[test]
fn the_engine_steps_for_frames_and_every_ten_milliseconds() {
    let mut lesson = Lesson::new(7);
    let (mut rows, mut last, mut frames) = (0, 0, [0; 2]);
    let mut stands = None;
    for _ in 0..60_000 {
        let step = lesson.step(|_, _| ());
        if let Some(row) = lesson.trainer_box.row() {
            rows += 1;
            assert!(rows == 1 || lesson.now - last <= 10_000);
            last = lesson.now;
            frames[0] += u32::from(row.instructor.is_some());
            frames[1] += u32::from(row.student.is_some());
        } else {
            assert_eq!(Some((step.outcome.output, step.outcome.pilot, step.pulses)), stands);
            assert_eq!((step.outcome.event, step.outcome.instructor), (None, Reception::Nothing));
        }
        stands = Some((step.outcome.output, step.outcome.pilot, step.pulses));
    }
    let read = [Side::Instructor, Side::Student].map(|side| lesson.trainer_box.tally(side).good);
    assert_eq!(frames, read, "every good frame is in a row");
    assert!((5_900..12_000).contains(&rows), "{rows} rows in a minute");
}

/// Given a change of switch or button, when the next step comes, then the engine sees it at once.
#[test]
fn a_change_of_the_desk_is_seen_in_the_same_step() {
    let mut lesson = Lesson::new(8);
    (lesson.switches, lesson.lively) = (false, false);
    for ms in 0..2_000 {
        let desk = Desk { lesson_switch: ms % 7 < 3, instructor_now: ms % 11 < 4 };
        let changed = desk != lesson.desk;
        lesson.desk = desk;
        let _ = lesson.step(|_, _| ());
        let row = lesson.trainer_box.row();
        assert!(!changed || row.is_some_and(|row| row.desk == desk && row.at == Instant::from_ticks(lesson.now)));
    }
    assert!(!PLAN.craft_rests_high());
}
