//! A plan that is stored in the simulated flash, and what the box does with it after a reset.

use handback::ppm::{Edge, Encoder, EncoderSetup, Level};
use handback::{Duration, Instant, Pilot, Pulse};
use trainer_box::{Plan, Side};
use trainer_box_rig::plan::{AS_WRITTEN, AXES, MOST_CHANNELS, Start};
use trainer_box_rig::{Command, FLASH_BYTES, Flash, Hand, Rig, Stepped};
use trainer_box_store::{FILE_BYTES, FileError, NotStored, Slots, at_start, encode};

type Memory = [u8; FLASH_BYTES];
type BoxPlan = Plan<AXES, MOST_CHANNELS, MOST_CHANNELS>;

const BLANK: Memory = [u8::MAX; FLASH_BYTES];

fn file(plan: &BoxPlan) -> Vec<u8> {
    encode(plan, &mut [0; FILE_BYTES]).expect("it fits").to_vec()
}

/// Another plan: the student's train has eight channels in the instructor's order and polarity.
fn other() -> BoxPlan {
    let mut other = AS_WRITTEN;
    (other.student, other.student_train) = (other.instructor, other.instructor_train);
    other.policy.dwell = Duration::from_millis(400);
    other
}

/// A box that was just started from this memory, its two transmitters, and its hand.
struct Session<'s> {
    rig: Rig<'s>,
    lines: [(Side, Encoder<8>, Option<Edge>); 2],
    hand: Hand,
    now: u32,
}

impl<'s> Session<'s> {
    fn new(start: &'s Start, transmitters: bool) -> Self {
        let lines = [(Side::Instructor, 5_000), (Side::Student, 9_000)].map(|(side, at)| {
            let mut train: Encoder<8> = EncoderSetup::new(Level::High).check().expect("in order");
            let widths = [1_500, 1_500, 1_000, 1_500, 1_500, 1_500, 1_500, 1_500].map(Pulse::from_micros);
            assert!(train.start(Instant::from_ticks(at), &widths).is_empty());
            let next = if transmitters { train.next_edge() } else { None };
            (side, train, next)
        });
        Self { rig: Rig::new(start), lines, hand: Hand::default(), now: 0 }
    }

    /// Lets so many milliseconds pass, and returns what each step said.
    fn ms(&mut self, ms: u32) -> Vec<Stepped> {
        let mut said = Vec::new();
        for _ in 0..ms {
            self.now += 1_000;
            for (side, train, next) in &mut self.lines {
                while let Some(edge) = next.filter(|edge| edge.at.as_ticks() <= self.now) {
                    assert!(self.rig.obey(Command::Edge(*side, edge)).is_none());
                    *next = train.next_edge();
                }
            }
            let report = self.rig.obey(Command::Step(Instant::from_ticks(self.now), self.hand)).expect("an answer");
            said.extend(report.step);
        }
        said
    }

    /// Tries to hand over, and says whether the student ever flew.
    fn student_flies(&mut self) -> bool {
        let mut said = self.ms(1_000);
        self.hand.lesson_switch = true;
        said.extend(self.ms(4_000));
        said.iter().any(|step| matches!(step.said.outcome.pilot, Pilot::Student(_)))
    }
}

/// A box on the bench, from this start.
fn on_bench(start: &Start) -> Session<'_> {
    let mut session = Session::new(start, false);
    session.hand.instructor_now = true;
    let _ = session.ms(2_200);
    session
}

fn started(memory: &mut Memory) -> Start {
    at_start(&mut Slots::new(Flash::new(memory), 0))
}

/// Stores a file on the bench.
fn store(memory: &mut Memory, file: &[u8]) -> Result<(), NotStored> {
    let start = started(memory);
    let session = on_bench(&start);
    session.rig.permit(file)?.store(&mut Slots::new(Flash::new(memory), 0))
}

/// Given a box without a stored plan, when one is stored on the bench, then the box flies by it after a reset, and not
/// before.
#[test]
fn a_stored_plan_flies_after_a_reset() {
    let mut memory = BLANK;
    let start = started(&mut memory);
    assert_eq!(Rig::new(&start).plan().plan(), AS_WRITTEN);
    assert!(!Session::new(&start, true).student_flies(), "the default plan is for another student's transmitter");
    let bench = on_bench(&start);
    let new = file(&other());
    let permit = bench.rig.permit(&new);
    assert_eq!(permit.map(|permit| permit.store(&mut Slots::new(Flash::new(&mut memory), 0))), Ok(Ok(())));
    assert_eq!(bench.rig.plan().plan(), AS_WRITTEN);
    let start = started(&mut memory);
    assert_eq!(Rig::new(&start).plan().plan(), other());
    assert!(Session::new(&start, true).student_flies());
}

/// Given a box that is not on the bench, or whose switch is on there, when a file is to be stored, then it is refused.
#[test]
fn a_plan_is_stored_on_the_bench_alone_and_with_the_switch_off() {
    let start = started(&mut BLANK.clone());
    let good = file(&other());
    let mut flying = Session::new(&start, true);
    let refusal = |session: &Session<'_>, file: &[u8]| session.rig.permit(file).err();
    assert_eq!(refusal(&flying, &good), Some(NotStored::NotOnBench));
    let _ = flying.ms(3_000);
    assert_eq!(refusal(&flying, &good), Some(NotStored::NotOnBench));
    let mut bench = on_bench(&start);
    assert_eq!(refusal(&bench, &good), None);
    assert_eq!(refusal(&bench, &good[1..]), Some(NotStored::File(FileError::Mark)));
    bench.hand = Hand { lesson_switch: true, ..Hand::default() };
    let _ = bench.ms(1);
    assert_eq!(refusal(&bench, &good), Some(NotStored::SwitchOn));
    // A pin of the switch that cannot be read counts as off for the lesson; storing takes the same reading.
    bench.hand = Hand { lesson_switch: true, switch_fails: true, ..Hand::default() };
    let _ = bench.ms(1);
    assert_eq!(refusal(&bench, &good), None);
}

/// Given a stored plan that the flash has lost, when the box starts, then the instructor flies alone and the box says so
/// by a very long pulse; a plan that is stored on the bench is taken again.
#[test]
fn a_lost_plan_leaves_the_instructor_alone_and_is_told() {
    let mut memory = BLANK;
    assert_eq!(store(&mut memory, &file(&other())), Ok(()));
    memory[600] ^= 1;
    let start = started(&mut memory);
    let mut session = Session::new(&start, true);
    let said = session.ms(10_000);
    let pulse = said.iter().filter(|step| step.lamp && step.beeper > 0).count();
    assert!((1_200..2_400).contains(&pulse), "{pulse} ms");
    assert!(said.iter().skip(100).all(|step| step.said.outcome.pilot == Pilot::Instructor));
    assert!(!session.student_flies());
    let bench = on_bench(&start).ms(8_000);
    assert!(bench.iter().all(|step| step.lamp == step.said.signs.lamp), "the check has patterns of its own");
    assert_eq!(store(&mut memory, &file(&other())), Ok(()));
    let start = started(&mut memory);
    let mut session = Session::new(&start, true);
    assert!(session.student_flies());
}

/// Sends a command over the wire, and returns the lines of the answer.
fn ask(session: &mut Session<'_>, command: &str) -> Vec<String> {
    let mut said = Vec::new();
    for byte in command.bytes() {
        while !session.rig.wants_bytes() {
            let _ = session.ms(1);
        }
        session.rig.receive(byte);
    }
    for _ in 0..200 {
        let _ = session.ms(1);
        said.extend(std::iter::from_fn(|| session.rig.next_byte()));
    }
    String::from_utf8(said).expect("plain text").lines().map(String::from).collect()
}

/// The lines in which a file goes over the wire.
fn hex(file: &[u8]) -> Vec<String> {
    let digits = |part: &[u8]| part.iter().fold(String::from("= "), |line, byte| line + &format!("{byte:02x}"));
    file.chunks(32).map(digits).collect()
}

/// A box with a wire and nothing in its flash, flown or on the bench.
fn wired(start: &Start, bench: bool) -> Session<'_> {
    let mut session = Session::new(start, false);
    let (lesson, flash) = (Box::leak(Box::new(trainer_box_rig::Memory::new())), Box::leak(Box::new(BLANK)));
    session.rig = session.rig.with_wire(lesson, Slots::new(Flash::new(flash), 0));
    session.hand.instructor_now = bench;
    let _ = session.ms(2_200);
    session
}

/// Given a box with a wire, when a computer writes a file, then it is refused off the bench, with the switch on, and
/// where it is torn; else it is stored, and reads back as it was written.
#[test]
fn a_file_is_written_and_read_over_the_wire() {
    let new = file(&other());
    let write = format!("write {}\n{}\nend\n", new.len(), hex(&new).join("\n"));
    let (start, begins) = (Start::Nothing, format!("# file {}", new.len()));
    let refused = |session: &mut Session<'_>, write: &str, why: &str| {
        let said = ask(session, write);
        let why = format!("# refused: write: {why}");
        assert!(
            said.iter().any(|line| line.starts_with(&why)) && !said.iter().any(|line| line.starts_with("# stored")),
            "{said:?}"
        );
    };

    let mut flying = wired(&start, false);
    refused(&mut flying, &write, "the box is not on the bench");
    assert!(!ask(&mut flying, "read\n").contains(&begins));

    let mut bench = wired(&start, true);
    bench.hand.lesson_switch = true;
    let _ = bench.ms(1);
    refused(&mut bench, &write, "the lesson switch is on");
    bench.hand.lesson_switch = false;
    let _ = bench.ms(1);
    refused(&mut bench, &write.replace("end", "= 00\nend"), "more than");
    assert!(!ask(&mut bench, "read\n").contains(&begins));
    let said = ask(&mut bench, &write);
    assert!(said.iter().any(|line| line.starts_with("# stored")), "{said:?}");
    let read: Vec<_> = ask(&mut bench, "read\n");
    let at = read.iter().position(|line| *line == begins).expect("a file");
    assert_eq!(read[at + 1..=at + hex(&new).len()], hex(&new));
}

/// Given a box whose stored plan was refused, when a computer listens, then the box says why.
#[test]
fn the_wire_says_why_a_stored_plan_is_refused() {
    let mut memory = BLANK;
    assert_eq!(store(&mut memory, &file(&other())), Ok(()));
    memory[600] ^= 1;
    let start = started(&mut memory);
    let why = start.refusal().expect("it is damaged").message();
    let said = ask(&mut wired(&start, false), "\n");
    assert!(said.iter().any(|line| line.starts_with("# refused: ") && line.contains(why.as_str())), "{said:?}");
}
