//! The black box on the host: what it keeps, for how long, and what is left after a reset.

#[path = "../../logic/tests/flown/mod.rs"]
mod flown;
mod reading;

use flown::{AXES, CHANNELS, Flown, Lesson, PLAN};
use handback::Instant;
use reading::{Replayed, replay, row};
use trainer_box::Side;
use trainer_box_wire::{BlackBox, BlackBoxMemory, Wire};

/// 200 KiB in all.
const LEAD: usize = 8 * 1_024;
const BODY: usize = 200 * 1_024 - 2 * LEAD - 96;

type Memory<const BODY: usize> = BlackBoxMemory<LEAD, BODY>;

/// What the box sends as its lesson.
fn sent<const BODY: usize>(black_box: &BlackBox<'_, AXES, LEAD, BODY>) -> String {
    let mut wire = Wire::<AXES, CHANNELS, CHANNELS, 2_048>::new(&PLAN, "test");
    let mut still = Lesson::new(0);
    still.switches = false;
    "lesson\n".bytes().for_each(|byte| assert!(wire.receive(byte)));
    let mut text = String::new();
    loop {
        let begun = text.len();
        let step = still.step(|_, _| ());
        wire.step(Instant::from_ticks(still.now), &still.trainer_box, &step, black_box);
        while !wire.pending().is_empty() {
            text.push_str(core::str::from_utf8(wire.pending()).expect("ASCII"));
            wire.sent(wire.pending().len());
        }
        assert!(!text[begun..].contains("# refused"), "{}", &text[begun..]);
        if text[begun..].contains("# end\n") {
            break;
        }
    }
    text.split_inclusive('\n').filter(|line| !line.starts_with("# waiting")).collect()
}

fn replayed(text: &str) -> Replayed {
    replay(text, PLAN.policy()).unwrap_or_else(|why| panic!("{why}"))
}

/// The rows of a text are these rows, bit for bit, with the check values of the box.
fn assert_same(text: &str, flown: &[Flown]) {
    let rows: Vec<_> = text.lines().filter_map(row::<AXES>).collect();
    assert_eq!(rows.len(), flown.len());
    for (read, flown) in rows.iter().zip(flown) {
        assert_eq!(read.time_us & u64::from(u32::MAX), u64::from(flown.at.as_ticks()));
        assert_eq!((read.lesson_switch, read.instructor_now), (flown.desk.lesson_switch, flown.desk.instructor_now));
        let frames = [flown.instructor.map(|it| it.frame), flown.student.map(|it| it.frame)];
        assert_eq!((read.sides, read.check), (frames, flown.check), "at {}", read.time_us);
    }
}

/// Given lessons in which the switch is turned at random, when each has ended, then the black box has the rows of the
/// last recording in which the switch went on, bit for bit, until the next lesson begins.
#[test]
fn the_last_lesson_is_kept_bit_for_bit() {
    let memory = &mut Memory::<BODY>::new();
    let mut black_box = BlackBox::new(memory, &PLAN, 1);
    let mut lesson = Lesson::starting_at(31, u32::MAX - 100_000_000);
    let (mut recording, mut kept, mut lessons) = (Vec::new(), Vec::new(), 0);
    let (mut flies, mut was_on) = (false, false);
    for _ in 0..400_000 {
        let _ = lesson.step(|_, _| ());
        let Some(row) = lesson.trainer_box.row() else { continue };
        black_box.note(&PLAN, row);
        if row.begins {
            if flies {
                kept = core::mem::take(&mut recording);
                lessons += 1;
                assert_same(&sent(&black_box), &kept);
            } else if !kept.is_empty() {
                assert_eq!(black_box.rows(), u32::try_from(kept.len()).expect("few"));
            }
            (recording, flies) = (Vec::new(), false);
        }
        flies |= row.desk.lesson_switch && !was_on;
        was_on = row.desk.lesson_switch;
        recording.push(*row);
    }
    assert!(lessons > 5 && black_box.lost() == 0, "{lessons} lessons, {} lost", black_box.lost());
}

/// Given 200 KiB, when a lesson is flown at 50 frames a second of both sides, with people who move all the time and
/// noise on every stick, without and with lost edges, then ten minutes are kept, which are 30,000 frames of each side, and
/// they replay to the check values of the box.
#[test]
fn ten_minutes_fit_into_200_kib() {
    assert!(size_of::<Memory<BODY>>() <= 200 * 1_024, "{}", size_of::<Memory<BODY>>());
    for (noise, faults) in [(1, false), (2, false), (1, true)] {
        let memory = &mut Memory::<BODY>::new();
        let mut black_box = BlackBox::new(memory, &PLAN, 1);
        let mut lesson = Lesson::new(32);
        (lesson.switches, lesson.noise, lesson.faults) = (false, noise, faults);
        let mut full = None;
        for ms in 0..1_800_000 {
            // After a lost link the switch must be off first; for less than a second, so that no recording begins.
            lesson.desk.lesson_switch = ms > 9_000 && ms % 20_000 < 19_500;
            let _ = lesson.step(|_, _| ());
            if let Some(row) = lesson.trainer_box.row() {
                black_box.note(&PLAN, row);
            }
            if black_box.is_full() {
                full = Some(ms);
                break;
            }
        }
        let ms = full.unwrap_or(1_800_000);
        let (rows, bytes) = (black_box.rows(), black_box.bytes());
        println!(
            "noise of {noise} us on either side, faults {faults}: {} bytes in {rows} rows, {:.2} a row, {:.1} minutes",
            bytes,
            f64::from(bytes) / f64::from(rows),
            f64::from(ms) / 60_000.0
        );
        assert!(ms > 600_000, "{ms} ms");
        let done = replayed(&sent(&black_box));
        assert_eq!(done.rows, u64::from(rows));
        assert!(done.student > 10_000);
        let faults_seen = lesson.trainer_box.tally(Side::Instructor).faults();
        assert!(faults_seen == 0 || faults && faults_seen > 1_000, "{faults_seen} faults");
    }
}

/// Given a lesson that is longer than the memory, when it goes on, then its beginning is kept, says that its end is
/// missing, and replays; and a new lesson replaces it when its switch goes on.
#[test]
fn a_lesson_that_is_too_long_keeps_its_beginning() {
    let memory = &mut Memory::<4_000>::new();
    let mut black_box = BlackBox::new(memory, &PLAN, 1);
    let mut lesson = Lesson::new(33);
    lesson.switches = false;
    let mut pass = |black_box: &mut BlackBox<'_, AXES, LEAD, 4_000>, on: bool, ms: u32| {
        lesson.desk.lesson_switch = on;
        for _ in 0..ms {
            let _ = lesson.step(|_, _| ());
            if let Some(row) = lesson.trainer_box.row() {
                black_box.note(&PLAN, row);
            }
        }
    };
    pass(&mut black_box, false, 5_000);
    pass(&mut black_box, true, 60_000);
    assert!(black_box.is_full());
    let first = sent(&black_box);
    assert!(first.contains("rows; the memory was full before the lesson ended\n"));
    assert!(replayed(&first).rows > 1_000);
    pass(&mut black_box, false, 30_000);
    assert_eq!(sent(&black_box), first, "it stays while the switch is off");
    pass(&mut black_box, true, 2_000);
    assert!(!black_box.is_full());
    assert_ne!(sent(&black_box), first);
    replayed(&sent(&black_box));
}

/// Given a reset in mid-lesson with the switch on, when the box goes on, then the lesson that led to it stays until the
/// switch goes off and on again; under another plan nothing is kept.
#[test]
fn a_lesson_outlives_a_reset() {
    let memory = &mut Memory::<BODY>::new();
    let mut lesson = Lesson::new(34);
    lesson.switches = false;
    let mut black_box = BlackBox::new(memory, &PLAN, 1);
    for ms in 0..20_000 {
        lesson.desk.lesson_switch = ms > 4_000;
        let _ = lesson.step(|_, _| ());
        lesson.trainer_box.row().into_iter().for_each(|row| black_box.note(&PLAN, row));
    }
    let before = sent(&black_box);
    assert!(replayed(&before).student > 500);

    let mut other = memory.clone();
    assert_eq!(BlackBox::new(&mut other, &PLAN, 2).rows(), 0, "another plan");
    let mut black_box = BlackBox::new(memory, &PLAN, 1);
    assert_eq!(sent(&black_box), before);
    lesson.reset();
    for _ in 0..5_000 {
        let _ = lesson.step(|_, _| ());
        lesson.trainer_box.row().into_iter().for_each(|row| black_box.note(&PLAN, row));
    }
    assert_eq!(sent(&black_box), before);
}
