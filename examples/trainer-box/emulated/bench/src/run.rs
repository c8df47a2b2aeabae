//! The run: board and twin get the same commands, every answer is compared bit for bit, and every step is judged.

use std::path::Path;
use std::thread::sleep;
use std::time::Duration;

use seeded::Random;
use trainer_box_rig::{Command, Report, Rig};

use trainer_box_bench::Wrong;
use trainer_box_bench::board::Board;
use trainer_box_bench::fault::Fault;
use trainer_box_bench::lesson::{Act, Lesson, instant, time};

use crate::computer::Computer;
use crate::craft::Craft;
use crate::debrief::{self, hostile};
use crate::witness::{Evidence, Witness};

/// The options of a run.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Asked {
    pub(crate) seed: u64,
    pub(crate) frames: u64,
    /// The deliberate error of the board; 0 for none.
    pub(crate) breaks: u8,
    /// Whether board and twin are compared; otherwise only the witness judges.
    pub(crate) compare: bool,
    /// What the computer on the wire does.
    pub(crate) wire: OnWire,
    /// Whether to run checks of a bench instead of a lesson.
    pub(crate) preflight: bool,
}

/// What the computer on the wire does while the lesson is flown.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum OnWire {
    /// It is silent.
    Silent,
    /// It asks for the trace, and for the black box after the lesson.
    Trace,
    /// It sends a stream of hostile bytes for each frame.
    Hostile,
}

/// The counts of a run.
#[derive(Debug, Default)]
pub(crate) struct Figures {
    pub(crate) steps: u64,
    pub(crate) student_steps: u64,
    pub(crate) nobody_steps: u64,
    pub(crate) events: [u32; handback::Cause::KINDS],
    pub(crate) cues: [u32; handback::cue::Cue::ALL.len()],
    pub(crate) hand_backs: u32,
    pub(crate) crafts_frames: u32,
    pub(crate) bytes: u64,
    pub(crate) streams: u64,
}

#[derive(Debug)]
pub(crate) struct Run {
    asked: Asked,
    board: Board,
    computer: Computer,
    twin: Rig<'static>,
    pub(crate) lesson: Lesson,
    witness: Witness,
    craft: Craft,
    up_since: u64,
    random: Random,
    student_flies: bool,
    pub(crate) figures: Figures,
}

impl Run {
    pub(crate) fn new(asked: Asked, image: &Path) -> Result<Self, Wrong> {
        let lesson = Lesson::new(asked.seed);
        let (board, wire) = Board::start(image)?;
        let mut run = Self {
            asked,
            board,
            computer: Computer::new(wire)?,
            twin: Rig::default(),
            witness: Witness::new(),
            craft: Craft::new(),
            up_since: lesson.now,
            random: Random::new(asked.seed ^ 0x3141),
            student_flies: false,
            figures: Figures::default(),
            lesson,
        };
        run.tell_to_break()?;
        run.ask_for_trace();
        Ok(run)
    }

    /// Runs the whole lesson. An error names the frame.
    pub(crate) fn fly(&mut self) -> Result<(), Wrong> {
        while self.lesson.frames < self.asked.frames {
            let acts = self.lesson.go_on(self.student_flies);
            if self.asked.wire == OnWire::Hostile {
                self.computer.send(&hostile(&mut self.random));
                self.figures.streams += 1;
            }
            for piece in acts.split_inclusive(|act| matches!(act, Act::Reset(..))) {
                self.send(piece)?;
                for &act in piece {
                    self.follow(act)?;
                }
            }
        }
        self.figures.crafts_frames += self.craft.frames();
        match self.asked.wire {
            OnWire::Silent => Ok(()),
            OnWire::Trace => {
                let rows = debrief::trace(&self.computer.text()?)?;
                debrief::black_box(&mut self.board, &self.computer, &rows, self.lesson.now)
            }
            OnWire::Hostile => {
                let (streams, sent) = (self.figures.streams, self.computer.sent());
                println!("{streams} hostile streams for the wire, {sent} bytes taken: every outcome as without a wire");
                if sent < streams { Err(Wrong::new("the box did not take the streams".into())) } else { Ok(()) }
            }
        }
    }

    fn ask_for_trace(&self) {
        if self.asked.wire == OnWire::Trace {
            self.computer.send(b"trace\n");
            // The command is to arrive before the first step; where it does not, the trace begins with a later recording.
            sleep(Duration::from_millis(50));
        }
    }

    /// Sends all commands of a piece at once. The reset that ends the piece follows later.
    fn send(&mut self, piece: &[Act]) -> Result<(), Wrong> {
        let command = |act: &Act| match *act {
            Act::Tell(command) => Some(command),
            Act::Step(at, hand) => Some(Command::Step(instant(at), hand)),
            Act::Alarm(at) => Some(Command::Alarm(instant(at))),
            Act::Reset(..) => None,
        };
        self.board.send(&piece.iter().filter_map(command).collect::<Vec<_>>())
    }

    fn follow(&mut self, act: Act) -> Result<(), Wrong> {
        match act {
            Act::Tell(command) => {
                let answer = self.twin.obey(command);
                assert!(answer.is_none(), "{command:?} has no answer");
                Ok(())
            }
            Act::Step(at, hand) => self.compare(at, Command::Step(instant(at), hand)),
            Act::Alarm(at) => self.compare(at, Command::Alarm(instant(at))),
            Act::Reset(how, up) => self.reset(how, up),
        }
    }

    fn reset(&mut self, how: Fault, up: u64) -> Result<(), Wrong> {
        match how {
            Fault::ResetByButton => self.board.press_reset()?,
            Fault::ResetByWatchdog => self.board.send(&[Command::Hang])?,
            _ => self.board.send(&[Command::Reset])?,
        }
        self.board.wait_until_up().map_err(|wrong| self.named(up, &wrong.to_string()))?;
        self.tell_to_break()?;
        self.ask_for_trace();
        self.figures.crafts_frames += self.craft.frames();
        (self.twin, self.witness, self.craft) = (Rig::default(), Witness::new(), Craft::new());
        (self.up_since, self.student_flies) = (up, false);
        Ok(())
    }

    fn tell_to_break(&mut self) -> Result<(), Wrong> {
        if self.asked.breaks == 0 { Ok(()) } else { self.board.send(&[Command::Break(self.asked.breaks)]) }
    }

    /// Compares the answer of the board with that of the twin, and lets the witness judge it.
    fn compare(&mut self, at: u64, command: Command) -> Result<(), Wrong> {
        let expected = self.twin.obey(command).expect("it has an answer");
        let answer = self.board.report().map_err(|wrong| self.named(at, &wrong.to_string()))?;
        self.figures.bytes += u64::try_from(answer.len()).expect("small");
        let report = Report::from_bytes(&answer);
        if self.asked.compare && answer != expected.to_bytes()[2..] {
            let board = report.map_or(format!("{answer:?}"), |report| format!("{report:#?}"));
            return Err(self.named(at, &differences(&board, &format!("{expected:#?}"))));
        }
        let report = report.ok_or_else(|| self.named(at, "the board's answer is none"))?;
        self.judge(at, command, &report).map_err(|why| self.named(at, &why))
    }

    fn judge(&mut self, now: u64, command: Command, report: &Report) -> Result<(), String> {
        self.craft.edges(|ticks| time(now, ticks), &report.edges)?;
        let (Command::Step(_, hand), Some(step)) = (command, &report.step) else { return Ok(()) };
        let [instructor, student] = &mut self.lesson.lines;
        let (instructor, student) = (instructor.heard(now, self.up_since), student.heard(now, self.up_since));
        let evidence = Evidence { now, hand, instructor: &instructor, student: &student };
        self.witness.judge(&evidence, step)?;
        let flown = time(now, step.said.outcome.at.as_ticks());
        self.craft.judge(now, flown, self.witness.received(), step)?;
        self.student_flies = !step.said.outcome.pilot.student().is_empty();
        self.figures.note(step);
        Ok(())
    }

    /// An error with its place in the lesson and the last faults.
    fn named(&self, at: u64, what: &str) -> Wrong {
        Wrong::new(format!(
            "seed {}, frame {}, {}.{:03} ms: {what}\nfaults before: {}",
            self.asked.seed,
            self.lesson.frames,
            at / 1_000,
            at % 1_000,
            self.lesson.faults.lately(at)
        ))
    }
}

impl Figures {
    fn note(&mut self, step: &trainer_box_rig::Stepped) {
        let outcome = &step.said.outcome;
        self.steps += 1;
        self.student_steps += u64::from(!outcome.pilot.student().is_empty());
        self.nobody_steps += u64::from(outcome.pilot == handback::Pilot::Nobody);
        if let Some(event) = &outcome.event {
            self.events[event.cause.kind()] += 1;
            self.hand_backs += u32::from(event.cause == handback::Cause::HandedBack);
        }
        if let Some(cue) = step.said.signs.begun {
            self.cues[usize::from(cue.index())] += 1;
        }
    }
}

/// The first lines in which two texts differ.
fn differences(board: &str, twin: &str) -> String {
    let pairs = board.lines().zip(twin.lines()).filter(|(one, other)| one != other);
    let lines: Vec<String> =
        pairs.take(8).map(|(one, other)| format!("  board: {}\n  here:  {}", one.trim(), other.trim())).collect();
    format!("the board says something else than the same box here\n{}", lines.join("\n"))
}
