//! What a computer sends to a trainer box.

#[path = "../../../examples/trainer-box/logic/tests/flown/mod.rs"]
mod flown;

use std::sync::LazyLock;

use handback::{Instant, Outcome, Pulse};
use trainer_box::Desk;
use trainer_box_store::{FILE_BYTES, encode, permit};
use trainer_box_wire::{BlackBox, BlackBoxMemory, Request, Wire};

use self::flown::{AXES, CHANNELS, Lesson, PLAN};
use crate::bytes::Bytes;

/// The milliseconds of every run.
const STEPS: usize = 700;

/// The longest line that a box may send, in bytes; own choice.
const LONGEST_LINE: usize = 300;

type Said = (Outcome<AXES>, Option<[Pulse; CHANNELS]>);

/// What the same boxes do while nothing is sent to them: in a lesson, and on the bench.
static ALONE: LazyLock<[Vec<Said>; 2]> = LazyLock::new(|| {
    [false, true].map(|on_bench| {
        let mut lesson = lesson(on_bench);
        let step = |ms| {
            turn(&mut lesson, ms, on_bench);
            let step = lesson.step(|_, _| {});
            (step.outcome, step.pulses)
        };
        (0..STEPS).map(step).collect()
    })
});

/// The stored file of the box.
static STORED: LazyLock<Vec<u8>> =
    LazyLock::new(|| encode(&PLAN.plan(), &mut [0; FILE_BYTES]).expect("it fits").to_vec());

fn lesson(on_bench: bool) -> Lesson {
    let mut lesson = if on_bench { Lesson::on_the_bench(1) } else { Lesson::new(1) };
    lesson.switches = false;
    lesson
}

/// Not on the bench, the lesson switch goes on and off once: then there is a lesson in the black box.
fn turn(lesson: &mut Lesson, ms: usize, on_bench: bool) {
    lesson.desk.lesson_switch = !on_bench && (150..350).contains(&ms);
}

/// What must hold: nothing panics, every outcome and every pulse is what it is while nothing is sent, and what the box
/// sends is whole lines of plain text.
pub fn run(bytes: &[u8]) {
    let mut bytes = Bytes::new(bytes);
    let how = bytes.byte();
    let on_bench = how & 1 == 1;
    // A computer that reads at once, or a few bytes in each millisecond; and how fast it sends.
    let reads = [usize::MAX, 40, 7, 0][usize::from(how >> 1 & 3)];
    let sends = [1, 4, 16, 64][usize::from(how >> 3 & 3)];
    let arrived = bytes.rest();

    let mut lesson = lesson(on_bench);
    let mut memory = Box::new(BlackBoxMemory::<2_048, 8_192>::new());
    let mut black_box = BlackBox::new(&mut memory, &PLAN, 7);
    let mut wire = Wire::<AXES, CHANNELS, CHANNELS, 1_024>::new(&PLAN, "fuzz 1");
    let (mut arrived, mut text) = (arrived.iter(), Vec::new());
    for (ms, alone) in ALONE[usize::from(on_bench)].iter().enumerate() {
        for _ in 0..sends {
            if wire.wants_bytes()
                && let Some(&byte) = arrived.next()
            {
                assert!(wire.receive(byte), "a byte that is wanted is taken");
            }
        }
        turn(&mut lesson, ms, on_bench);
        let step = lesson.step(|side, edge| wire.edge(side, edge));
        assert_eq!((step.outcome, step.pulses), *alone, "{ms} ms: the box does what it does alone");
        if let Some(row) = lesson.trainer_box.row() {
            black_box.note(&PLAN, row);
        }
        wire.step(Instant::from_ticks(lesson.now), &lesson.trainer_box, &step, &black_box);
        while let Some(entry) = lesson.trainer_box.next_entry() {
            wire.entry(&entry);
        }
        answer(&mut wire, lesson.trainer_box.on_bench(), lesson.desk);
        read(&mut wire, reads, &mut text);
    }
    read(&mut wire, usize::MAX, &mut text);
    check(&text);
}

/// Does what the firmware does for a request.
fn answer(wire: &mut Wire<'_, AXES, CHANNELS, CHANNELS, 1_024>, on_bench: bool, desk: Desk) {
    let result = match wire.request() {
        None => return,
        Some(Request::Read) => return wire.file(Some(&STORED)),
        Some(Request::Store(file)) => permit::<AXES, CHANNELS, CHANNELS>(file, on_bench, desk).map(|_| ()),
    };
    match result {
        Ok(()) => wire.stored(Ok(())),
        Err(why) => wire.stored(Err(&why.to_string())),
    }
}

fn read(wire: &mut Wire<'_, AXES, CHANNELS, CHANNELS, 1_024>, most: usize, text: &mut Vec<u8>) {
    let mut left = most;
    while left > 0 && !wire.pending().is_empty() {
        let pending = wire.pending();
        let count = pending.len().min(left);
        text.extend_from_slice(&pending[..count]);
        wire.sent(count);
        left -= count;
    }
}

/// Whole lines, each of a kind that `WIRE.md` describes.
fn check(text: &[u8]) {
    assert!(text.is_empty() || text.ends_with(b"\n"), "the last line is cut");
    for line in text.split(|&byte| byte == b'\n') {
        let line = std::str::from_utf8(line).expect("ASCII");
        assert!(line.len() <= LONGEST_LINE, "{line}");
        assert!(line.bytes().all(|byte| (b' '..=b'~').contains(&byte)), "{line:?}");
        let is_known = line.is_empty()
            || line.starts_with("# ")
            || line.starts_with("= ")
            || line.starts_with("time_us,")
            || line.starts_with(|c: char| c.is_ascii_digit());
        assert!(is_known, "{line:?}");
        // Two lines in one: a message begins in another line, or a row in a message.
        let quotes = line.find('"').unwrap_or(line.len());
        assert!(!line[..quotes].contains("# ") || line.rfind("# ") == Some(0) || quotes < line.len(), "{line:?}");
    }
}
