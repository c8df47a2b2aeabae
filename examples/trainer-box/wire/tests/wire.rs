//! What the box says to a computer and takes from it, on the host.

#[path = "../../logic/tests/flown/mod.rs"]
mod flown;
mod reading;

use flown::{AXES, CHANNELS, Lesson, PLAN};
use handback::{Instant, Outcome, Pulse};
use reading::{Replayed, replay};
use seeded::Random;
use trainer_box_wire::{BlackBox, BlackBoxMemory, Request, Wire};

const LEAD: usize = 8 * 1_024;
const BODY: usize = 184 * 1_024;

/// A box with its wire and a computer that reads everything at once, or nothing.
struct Connected {
    lesson: Lesson,
    wire: Wire<'static, AXES, CHANNELS, CHANNELS, 4_096>,
    black_box: BlackBox<'static, AXES, LEAD, BODY>,
    reads: bool,
    text: String,
    rows: u64,
}

/// An outcome with the pulses to the craft.
type Said = (Outcome<AXES>, Option<[Pulse; CHANNELS]>);

impl Connected {
    fn new(seed: u64) -> Self {
        Self::to(Lesson::new(seed))
    }

    fn to(lesson: Lesson) -> Self {
        let memory = Box::leak(Box::new(BlackBoxMemory::new()));
        Self {
            lesson,
            wire: Wire::new(&PLAN, "test 1"),
            black_box: BlackBox::new(memory, &PLAN, 7),
            reads: true,
            text: String::new(),
            rows: 0,
        }
    }

    fn step(&mut self) -> Said {
        let wire = &mut self.wire;
        let step = self.lesson.step(|side, edge| wire.edge(side, edge));
        if let Some(row) = self.lesson.trainer_box.row() {
            self.rows += 1;
            self.black_box.note(&PLAN, row);
        }
        self.wire.step(Instant::from_ticks(self.lesson.now), &self.lesson.trainer_box, &step, &self.black_box);
        while let Some(entry) = self.lesson.trainer_box.next_entry() {
            self.wire.entry(&entry);
        }
        if self.reads {
            self.read();
        }
        (step.outcome, step.pulses)
    }

    fn read(&mut self) {
        while !self.wire.pending().is_empty() {
            let sent = self.wire.pending();
            self.text.push_str(core::str::from_utf8(sent).expect("ASCII"));
            let count = sent.len();
            self.wire.sent(count);
        }
    }

    fn pass(&mut self, ms: u32) {
        for _ in 0..ms {
            let _ = self.step();
        }
    }

    /// Sends a line, and returns what the box says within 50 ms.
    fn ask(&mut self, line: &str) -> String {
        self.send(line.as_bytes());
        self.send(b"\n");
        self.text.clear();
        self.pass(50);
        core::mem::take(&mut self.text)
    }

    fn send(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            while !self.wire.receive(byte) {
                let _ = self.step();
            }
        }
    }

    fn replayed(&self) -> Replayed {
        replay(&self.text, PLAN.policy()).unwrap_or_else(|why| panic!("{why}"))
    }
}

/// Given lessons with all that people do, when their traces are read and replayed, then every row has the check value of
/// the box, every recording is there, and no row is missing. The clock of the second one wraps.
#[test]
fn a_trace_replays_to_the_same_decisions() {
    for start in [0, u32::MAX - 90_000_000] {
        let mut box_ = Connected::to(Lesson::starting_at(21, start));
        box_.send(b"trace\n");
        box_.pass(300_000);
        let done = box_.replayed();
        assert!(box_.text.starts_with("# waiting") || box_.text.starts_with("# started") || box_.text.starts_with('t'));
        assert!(done.rows > 25_000 && done.recordings > 5 && done.student > 3_000, "{done:?}");
        assert_eq!((done.missing, done.not_compared), (0, 0));
        for word in ["event instructor student:0+1+2+3 handed-back", "waiting switch", "waiting dwell "] {
            assert!(done.messages.iter().any(|message| message.starts_with(word)), "{word}");
        }
    }
}

/// Given one changed digit in one row, when the trace is replayed, then that line is named.
#[test]
fn a_changed_row_is_found() {
    let mut box_ = Connected::new(22);
    box_.send(b"trace\n");
    box_.pass(60_000);
    let lines: Vec<&str> = box_.text.lines().collect();
    let place = (2_000..lines.len())
        .find(|&place| lines[place].contains(",100,") || lines[place].contains(",0,0,0,"))
        .expect("one");
    let changed = lines[place].replacen(",0,0,0,", ",0,0,7.5,", 1).replacen(",100,", ",99,", 1);
    let text = [&lines[..place], &[&changed], &lines[place + 1..]].concat().join("\n");
    let why = replay::<AXES>(&text, PLAN.policy()).expect_err("it is found");
    let named: usize = why.split([' ', ':']).nth(1).and_then(|number| number.parse().ok()).expect("a line");
    assert!((place + 1..place + 40).contains(&named), "{place}: {why}");
}

/// Given a computer that does not read, when rows come, then whole rows are dropped and counted, and what is read
/// afterwards is whole lines.
#[test]
fn a_full_buffer_drops_whole_rows_and_counts_them() {
    let mut box_ = Connected::new(23);
    let mut random = Random::new(23);
    box_.send(b"trace\n");
    box_.pass(12_000);
    for _ in 0..200 {
        box_.reads = random.one_in(2);
        box_.pass(u32::try_from(random.within(1, 1_000)).expect("small"));
    }
    box_.reads = true;
    box_.lesson.switches = false;
    box_.lesson.desk.lesson_switch = false;
    box_.pass(30_000);
    let done = box_.replayed();
    assert!(done.missing > 2_000 && done.rows > 2_000 && done.not_compared > 0, "{done:?}");
    let first_recording = 3_000; // its rows were not asked for
    assert!((0..first_recording).contains(&(box_.rows - done.rows - done.missing)), "{} rows: {done:?}", box_.rows);
}

/// Given lines that are no command, when they arrive, then each is refused by name.
#[test]
fn anything_but_a_command_is_refused_by_name() {
    let mut box_ = Connected::new(24);
    box_.lesson.switches = false;
    box_.pass(1_000);
    for (line, said) in [
        ("xyz", "# refused: unknown command \"xyz\": send version, trace, raw, stop, lesson, read, write BYTES\n"),
        ("TRACE", "# refused: unknown command \"TRACE\""),
        ("a\u{1}b", "# refused: unknown command \"a\\x01b\""),
        ("write", "# refused: write: \"\" is no number of bytes: send write 200, for example\n"),
        ("write 200", "# refused: write: the box is not on the bench: switch both transmitters off"),
        ("= 00", "# refused: no file is being written: send write BYTES first\n"),
        ("end", "# refused: no file is being written: send write BYTES first\n"),
        ("lesson", "# refused: lesson: none is kept: turn the lesson switch on and fly one\n"),
        (&"y".repeat(97), "# refused: a line is longer than 96 bytes: send shorter lines\n"),
        ("version", "# version test 1\n"),
        ("stop", "# stopped\n"),
    ] {
        let answer = box_.ask(line);
        assert!(answer.starts_with(said), "{line}: {answer}");
    }
    assert_eq!(box_.ask(""), "");
}

/// Given a lesson, when 2000 streams of every kind of bytes arrive during it, then every outcome and every pulse is bit
/// for bit that of the same lesson without them.
#[test]
fn nothing_that_arrives_changes_an_outcome() {
    let mut random = Random::new(25);
    let (mut plain, mut box_) = (Lesson::new(25), Connected::new(25));
    for _ in 0..2_000 {
        let bytes = hostile(&mut random);
        box_.reads = random.one_in(2);
        for chunk in bytes.chunks(16) {
            for &byte in chunk {
                let _ = box_.wire.receive(byte);
            }
            let step = plain.step(|_, _| ());
            assert_eq!(box_.step(), (step.outcome, step.pulses));
            if let Some(Request::Store(_)) = box_.wire.request() {
                panic!("a file is to be stored in flight");
            }
        }
    }
}

/// A stream of bytes: noise, commands, half lines, long lines, or all of them.
fn hostile(random: &mut Random) -> Vec<u8> {
    const WORDS: [&[u8]; 12] = [
        b"trace\n",
        b"raw\n",
        b"stop\n",
        b"lesson\n",
        b"read\n",
        b"write 32\n",
        b"= 0011223344\n",
        b"end\n",
        b"version\n",
        b"\n",
        b"write 99999999999999999999\n",
        b"\r\n\0\xff\n",
    ];
    let mut bytes = Vec::new();
    for _ in 0..random.within(1, 12) {
        match random.within(0, 3) {
            0 => bytes.extend((0..random.within(1, 120)).map(|_| u8::try_from(random.next() >> 56).expect("a byte"))),
            1 => bytes.extend(core::iter::repeat_n(b'=', usize::try_from(random.within(1, 200)).expect("small"))),
            2 => {
                let word = random.one_of(&WORDS);
                bytes.extend(&word[..random.below(word.len())]);
            }
            _ => bytes.extend(random.one_of(&WORDS)),
        }
    }
    bytes
}

/// Given two trains, when the raw form is asked for, then both formats are found, and every channel of both comes as
/// its width.
#[test]
fn the_raw_form_has_every_channel_of_both_trains() {
    let mut box_ = Connected::new(26);
    (box_.lesson.lively, box_.lesson.switches) = (false, false);
    box_.pass(500);
    box_.text.clear();
    box_.send(b"raw\n");
    box_.pass(2_000);
    let lines: Vec<&str> = box_.text.lines().filter(|line| !line.starts_with("# waiting")).collect();
    let header = lines.iter().rposition(|line| line.starts_with("time_us")).expect("a header");
    assert!(lines.contains(&"# train instructor high 8") && lines.contains(&"# train student high 8"), "{lines:?}");
    let columns = |side| (0..8).map(|channel| format!(",us:{side}{channel}")).collect::<Vec<_>>().concat();
    let fixed = "time_us,lesson_switch,instructor_now";
    assert_eq!(lines[header], format!("{fixed}{}{}", columns("i"), columns("s")));
    let rows = &lines[header + 1..];
    assert!(rows.len() > 150, "{}", rows.len());
    for row in rows {
        let cells: Vec<&str> = row.split(',').collect();
        assert_eq!(cells.len(), 3 + 16, "{row}");
        for (channel, cell) in cells[3..].iter().enumerate().filter(|(_, cell)| !cell.is_empty()) {
            let width: i32 = cell.parse().expect("a width");
            let rest = [1_500, 1_500, 1_200, 1_500, 1_000, 1_900, 1_500, 1_500][channel % 8];
            assert!((width - rest).abs() <= 1, "{row}");
        }
    }
}

/// Given a box on the bench, when a file is written, then the firmware gets its bytes; half a file, other digits, or a
/// lesson switch that is on store nothing; and a stored file is read back as it is.
#[test]
fn a_file_is_written_on_the_bench_only() {
    let file: Vec<u8> = (0..100_u8).map(|byte| byte.wrapping_mul(37)).collect();
    let digits = |bytes: &[u8]| bytes.iter().map(|byte| format!("{byte:02x}")).collect::<Vec<_>>().concat();
    let mut box_ = Connected::to(Lesson::on_the_bench(27));
    box_.pass(2_500);
    assert!(box_.text.contains("# bench begins\n"), "{}", box_.text);
    let write = |box_: &mut Connected, lines: &[&[u8]], length: usize| {
        assert_eq!(box_.ask(&format!("write {length}")), "");
        let said: String = lines.iter().map(|bytes| box_.ask(&format!("= {}", digits(bytes)))).collect();
        said + &box_.ask("end")
    };
    let lines: Vec<&[u8]> = file.chunks(32).collect();
    assert_eq!(write(&mut box_, &lines, 100), "");
    assert_eq!(box_.wire.request(), Some(Request::Store(&file)));
    assert_eq!(box_.wire.request(), None);
    box_.text.clear();
    box_.wire.stored(Ok(()));
    box_.pass(10);
    assert_eq!(box_.text, "# stored 100 bytes: in force from the next start\n");
    assert_eq!(
        write(&mut box_, &lines[1..], 100),
        "# refused: write: the file ended after 68 of 100 bytes: send it again\n"
    );
    assert!(
        write(&mut box_, &lines, 99).starts_with("# refused: write: more than 99 bytes came: send the file again\n")
    );
    assert!(box_.ask("write 0").starts_with("# refused: write: a file has 1 to 1536 bytes, not 0"));
    assert!(box_.ask("write 1537").starts_with("# refused: write: a file has 1 to 1536 bytes, not 1537"));
    assert_eq!(box_.wire.request(), None);

    assert_eq!(box_.ask("read"), "");
    assert_eq!(box_.wire.request(), Some(Request::Read));
    box_.wire.file(Some(&file));
    box_.text.clear();
    box_.pass(50);
    let sent = lines.iter().map(|bytes| format!("= {}\n", digits(bytes))).collect::<Vec<_>>().concat();
    assert_eq!(box_.text, format!("# file 100\n{sent}# end\n"));
    box_.text.clear();
    box_.wire.file(None);
    box_.pass(10);
    assert!(box_.text.starts_with("# refused: read: no file is stored"));
    box_.text.clear();
    box_.wire.refused("stored plan: the flash has not kept it: store it again");
    box_.pass(10);
    assert_eq!(box_.text, "# refused: stored plan: the flash has not kept it: store it again\n");

    box_.ask("write 3");
    box_.lesson.desk.lesson_switch = true;
    box_.ask("= 000102");
    assert!(box_.ask("end").ends_with("# refused: write: the lesson switch is on: turn it off first\n"));
    assert_eq!(box_.wire.request(), None);
}

/// Given a computer that reads slowly, when a file and a lesson are sent, then nothing of them is dropped.
#[test]
fn a_lesson_waits_for_room_and_loses_nothing() {
    let mut box_ = Connected::new(28);
    box_.pass(100_000);
    (box_.lesson.switches, box_.lesson.desk.lesson_switch) = (false, false);
    box_.pass(2_000);
    let rows = box_.black_box.rows();
    assert!(rows > 500, "{rows}");
    box_.text.clear();
    box_.send(b"lesson\n");
    box_.reads = false;
    for _ in 0..100_000 {
        if box_.text.contains("\n# end\n") {
            break;
        }
        box_.pass(5);
        let sent = box_.wire.pending().len().min(100);
        box_.text.push_str(core::str::from_utf8(&box_.wire.pending()[..sent]).expect("ASCII"));
        box_.wire.sent(sent);
    }
    let done = box_.replayed();
    assert_eq!((done.rows, done.missing), (rows.into(), 0));
    assert!(done.student > 100 && done.messages.contains(&format!("lesson {rows} rows")), "{done:?}");
}
