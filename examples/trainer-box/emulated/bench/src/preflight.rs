//! Runs a whole check of the bench on the board, with two people who do what the box asks. Every answer is compared bit
//! for bit, and every frame to the craft must have the throttle at its safe end.

use std::path::Path;

use handback::preflight::{Action, End, Finding, Side as Whose};
use seeded::Random;
use trainer_box::What;
use trainer_box_rig::plan::THROTTLE;
use trainer_box_rig::{Command, Hand, Report, Rig};

use trainer_box_bench::Wrong;
use trainer_box_bench::board::Board;
use trainer_box_bench::lesson::{INSTRUCTOR, STUDENT, instant};
use trainer_box_bench::line::Line;

use crate::computer::Computer;

/// The times until which the button is held, and at which the transmitters are turned on, in microseconds.
const HELD: u64 = 2_300_000;
const TURNED_ON: u64 = 2_500_000;
/// The time by which the check must be over, in microseconds.
const THROUGH_BY: u64 = 200_000_000;
/// The distance that a stick moves in 20 ms, in tenths of a point.
const WAY: i64 = 50;
/// The rests of the sticks, in tenths of a point.
const REST: [i64; 4] = [0, 0, -1_000, 0];

/// The state of the transmitters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bench {
    Sound,
    /// The student's aileron is reversed, and the instructor's rudder rests 25 us too high.
    Crooked,
}

struct Session {
    bench: Bench,
    random: Random,
    /// The instructor's line and the student's, whether the student's is on, and the positions and targets of both
    /// people's sticks.
    lines: [Line; 2],
    link: bool,
    sticks: [[i64; 4]; 2],
    targets: [[i64; 4]; 2],
    hand: Hand,
    /// Times and states of switch and button to come.
    plan: Vec<(u64, Hand)>,
    now: u64,
    next_step: u64,
    found: Vec<Finding>,
    passed: Option<bool>,
    steps: u64,
    bytes: usize,
}

/// Runs the check on this image.
pub(crate) fn preflight(image: &Path, seed: u64, bench: Bench) -> Result<(), Wrong> {
    let (mut board, wire) = Board::start(image)?;
    // Unread, the wire would fill, and the emulator wait for it.
    let _computer = Computer::new(wire)?;
    let mut twin = Rig::default();
    let mut session = Session {
        bench,
        random: Random::new(seed),
        lines: [Line::new(INSTRUCTOR, TURNED_ON), Line::new(STUDENT, TURNED_ON + 11_000)],
        link: true,
        sticks: [REST; 2],
        targets: [REST; 2],
        hand: Hand { instructor_now: true, ..Hand::default() },
        plan: vec![(HELD, Hand::default())],
        now: 10_000,
        next_step: 10_000,
        found: Vec::new(),
        passed: None,
        steps: 0,
        bytes: 0,
    };
    while session.passed.is_none() && session.now < THROUGH_BY {
        let commands = session.go_on();
        board.send(&commands)?;
        for command in commands {
            if let Some(expected) = twin.obey(command) {
                let answer = board.report()?;
                if answer != expected.to_bytes()[2..] {
                    return Err(session.wrong("the board says something else than the same box here"));
                }
                session.bytes += answer.len();
                session.hear(&expected)?;
            }
        }
    }
    session.end()
}

impl Session {
    /// The commands of the next 20 ms, in order of time.
    fn go_on(&mut self) -> Vec<Command> {
        let (from, until) = (self.now, self.now + 20_000);
        self.now = until;
        for (stick, target) in self.sticks.iter_mut().flatten().zip(self.targets.iter().flatten()) {
            *stick += (*target - *stick).clamp(-WAY, WAY);
        }
        while self.lines[0].next_start < until {
            let widths = self.instructor();
            self.lines[0].send(widths, None);
        }
        while self.lines[1].next_start < until {
            let widths = self.student();
            if self.link {
                self.lines[1].send(widths, None);
            } else {
                self.lines[1].next_start = until;
            }
        }
        let mut timed = Vec::new();
        for line in &mut self.lines {
            let side = line.make.side;
            for arrival in line.arrivals(from, until) {
                let edge = handback::ppm::Edge { at: instant(arrival.at), level: arrival.level };
                timed.push((arrival.at, 0, Command::Edge(side, edge)));
            }
        }
        while self.next_step < until {
            let at = self.next_step;
            while let Some(&(due, hand)) = self.plan.first()
                && due <= at
            {
                self.plan.remove(0);
                self.hand = hand;
            }
            timed.push((at, 1, Command::Step(instant(at), self.hand)));
            self.next_step += self.random.time(800, 3_000);
        }
        timed.sort_by_key(|&(at, order, _)| (at, order));
        timed.into_iter().map(|(_, _, command)| command).collect()
    }

    /// The pulse widths of the instructor's train: 8 channels, the axes in their order first.
    fn instructor(&mut self) -> Vec<u64> {
        let crooked = i64::from(self.bench == Bench::Crooked);
        let offs = [0, 0, 0, 25 * crooked, 0, 0, 0, 0];
        let [a, e, t, r] = self.sticks[0];
        let sticks = [a, e, t, r, 0, 0, 0, 0];
        sticks.into_iter().zip(offs).map(|(stick, off)| self.width(1_500 + stick / 2 + off)).collect()
    }

    /// The pulse widths of the student's train: throttle, aileron, reversed elevator about 1480 us, rudder, and two
    /// unused channels.
    fn student(&mut self) -> Vec<u64> {
        let [a, e, t, r] = self.sticks[1];
        let a = if self.bench == Bench::Crooked { -a } else { a };
        let elevator = if e > 0 { 1_480 - e * 48 / 100 } else { 1_480 - e * 52 / 100 };
        [1_500 + t / 2, 1_500 + a / 2, elevator, 1_500 + r / 2, 1_500, 1_500].map(|us| self.width(us)).to_vec()
    }

    fn width(&mut self, us: i64) -> u64 {
        u64::try_from(us + self.random.within(-1, 1)).expect("a stick's width")
    }

    /// Processes an answer of the box: carries out what it asks, and keeps its findings.
    fn hear(&mut self, report: &Report) -> Result<(), Wrong> {
        let Some(step) = &report.step else { return Ok(()) };
        self.steps += 1;
        if let Some(pulses) = step.said.pulses
            && pulses[usize::from(THROTTLE)].to_micros() != 1_000
        {
            return Err(self.wrong("the throttle is not sent its safe end"));
        }
        for entry in &step.entries {
            match entry.what {
                What::Asks(step) => self.do_as_told(step),
                What::Found(finding) => self.found.push(finding),
                What::CheckEnds { passed } => self.passed = Some(passed),
                _ => {}
            }
        }
        Ok(())
    }

    fn do_as_told(&mut self, asked: Action) {
        let side = usize::from(asked.side() == Some(Whose::Student));
        let axis = usize::from(asked.axis().unwrap_or(0));
        let (soon, later) = (self.now + self.random.time(200_000, 500_000), self.now + 900_000);
        let off = Hand::default();
        let on = Hand { lesson_switch: true, ..off };
        match asked {
            Action::Move { end, .. } => self.targets[side][axis] = if end == End::Positive { 1_000 } else { -1_000 },
            Action::Return { .. } | Action::HandBack { .. } => self.targets[side] = REST,
            Action::TakeOver { .. } => self.targets[side][axis] = REST[axis] + 200,
            Action::HandOver => self.plan = vec![(soon, on)],
            Action::Again { .. } => self.plan = vec![(soon, off), (later, on)],
            Action::Finish => self.plan = vec![(soon, off)],
            Action::Press => self.plan = vec![(soon, Hand { instructor_now: true, ..on }), (later, on)],
            Action::LinkOff => self.link = false,
            Action::LinkOn => self.link = true,
            Action::Start | Action::Done => {}
        }
    }

    /// Requires that the check found exactly the faults of the bench, and prints the counts.
    fn end(&self) -> Result<(), Wrong> {
        let is_right = match self.bench {
            Bench::Sound => self.passed == Some(true) && self.found.is_empty(),
            Bench::Crooked => self.passed == Some(false) && is_crooked(&self.found),
        };
        if !is_right {
            return Err(self.wrong(&format!("the check ended with {:?}: {:?}", self.passed, self.found)));
        }
        println!(
            "check of a bench: {:?}, {} s, {} steps, {} answer bytes compared, {} faults found",
            self.bench,
            self.now / 1_000_000,
            self.steps,
            self.bytes,
            self.found.len()
        );
        Ok(())
    }

    fn wrong(&self, what: &str) -> Wrong {
        Wrong::new(format!(
            "check of a bench, {:?}, {}.{:03} ms: {what}",
            self.bench,
            self.now / 1_000,
            self.now % 1_000
        ))
    }
}

/// Whether these are exactly the faults of a crooked bench.
fn is_crooked(found: &[Finding]) -> bool {
    let [first, second] = found else { return false };
    *first == Finding::Reversed { side: Whose::Student, axis: 0 }
        && matches!(second, Finding::CentreOff { side: Whose::Instructor, axis: 3, .. })
}
