//! The wire of the board: the trace of a whole lesson, its black box after a reset, and bytes of every kind.

use std::fmt::Write;

use seeded::Random;
use trainer_box_rig::plan::{AXES, PLAN};
use trainer_box_rig::{Command, Hand};

use trainer_box_bench::Wrong;
use trainer_box_bench::board::Board;
use trainer_box_bench::lesson::instant;

use crate::computer::Computer;
use crate::reading::{Read, replay, row};

/// The beginning of a trace. After a reset it can stand in the middle of a line that was cut.
const HEADER: &str = "time_us,";

/// Checks a whole trace: it is cut at each reset, and every part is replayed here. Returns its rows.
pub(crate) fn trace(text: &str) -> Result<Vec<Read<AXES>>, Wrong> {
    let (mut rows, mut recordings, mut student, mut missing) = (Vec::new(), 0, 0, 0);
    for (number, part) in text.split(HEADER).skip(1).enumerate() {
        let whole = format!("{HEADER}{}", part.rfind('\n').map_or("", |end| &part[..=end]));
        let done = replay::<AXES>(&whole, PLAN.policy())
            .map_err(|why| Wrong::new(format!("trace after reset {number}: {why}")))?;
        recordings += done.recordings;
        student += done.student;
        missing += done.missing;
        rows.extend(whole.lines().filter_map(row::<AXES>));
    }
    println!(
        "trace over the wire: {} rows in {recordings} recordings, {student} with the student, {missing} missing; {} bytes; the same decisions here",
        rows.len(),
        text.len()
    );
    Ok(rows)
}

/// Resets the board, asks for the lesson of its black box, and replays it here. Each of its rows was streamed too.
pub(crate) fn black_box(
    board: &mut Board,
    computer: &Computer,
    streamed: &[Read<AXES>],
    now: u64,
) -> Result<(), Wrong> {
    board.press_reset()?;
    board.wait_until_up()?;
    let before = computer.text()?.len();
    computer.send(b"lesson\n");
    let mut ended = false;
    // The box sends a row in each step, once it has read the command. Nobody is on its other lines.
    for step in 0..60_000 {
        let at = now + 1_000_000 + step * 1_000;
        board.send(&[Command::Step(instant(at), Hand::default())])?;
        let _ = board.report()?;
        if step % 500 == 0 && computer.text()?[before..].contains("# end\n") {
            ended = true;
            break;
        }
    }
    let text = computer.text()?[before..].to_owned();
    if !ended {
        return Err(Wrong::new(format!("the black box does not end: {}", &text[..text.len().min(300)])));
    }
    let done = replay::<AXES>(&text, PLAN.policy()).map_err(|why| Wrong::new(format!("black box: {why}")))?;
    let lesson: Vec<Read<AXES>> = text.lines().filter_map(row::<AXES>).collect();
    let low = |row: &Read<AXES>| row.time_us & u64::from(u32::MAX);
    let first = lesson.first().ok_or_else(|| Wrong::new("the black box is empty".into()))?;
    let same = |from: usize| {
        let pairs = streamed[from..].iter().zip(&lesson);
        streamed.len() - from >= lesson.len()
            && pairs.into_iter().all(|(one, other)| {
                low(one) == low(other) && Read { time_us: 0, ..*one } == Read { time_us: 0, ..*other }
            })
    };
    let place = streamed.iter().rposition(|row| low(row) == low(first) && row.check == first.check);
    if !place.is_some_and(same) {
        return Err(Wrong::new("the lesson of the black box is not the one that was streamed".into()));
    }
    let full = if text.contains("the memory was full") { ", and the memory was full" } else { "" };
    let frames = lesson.iter().filter(|row| row.sides[0].is_some()).count();
    println!(
        "black box after a reset: {} rows with {frames} frames of the instructor, {} with the student{full}; bit for bit as streamed, the same decisions here",
        done.rows, done.student
    );
    Ok(())
}

/// A stream of bytes that no computer should send: noise, commands, half lines, long lines, files.
pub(crate) fn hostile(random: &mut Random) -> Vec<u8> {
    const WORDS: [&str; 12] = [
        "trace\n",
        "raw\n",
        "stop\n",
        "lesson\n",
        "read\n",
        "write 64\n",
        "= 00112233\n",
        "end\n",
        "version\n",
        "\n",
        "write 99999999999999999999\n",
        "\r\n\0\u{7f}\n",
    ];
    let mut bytes = Vec::new();
    for _ in 0..random.within(1, 6) {
        match random.within(0, 4) {
            0 => bytes.extend((0..random.within(1, 40)).map(|_| u8::try_from(random.next() >> 56).expect("a byte"))),
            1 => bytes.extend(std::iter::repeat_n(b'=', usize::try_from(random.within(1, 120)).expect("small"))),
            2 => {
                let word = random.one_of(&WORDS);
                bytes.extend(&word.as_bytes()[..random.below(word.len())]);
            }
            3 => {
                let mut file = format!("write {}\n= ", random.within(1, 40));
                for _ in 0..random.within(0, 32) {
                    let _ = write!(file, "{:02x}", random.within(0, 255)); // a string takes everything
                }
                bytes.extend((file + "\nend\n").bytes());
            }
            _ => bytes.extend(random.one_of(&WORDS).bytes()),
        }
    }
    bytes
}
