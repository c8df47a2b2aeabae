//! The lesson with all its faults, as commands for the box in order of time.

use handback::Instant;
use handback::ppm::{Edge, Level};
use seeded::Random;
use trainer_box::Side;
use trainer_box_rig::plan::{CHANNELS, STUDENT_CHANNELS};
use trainer_box_rig::{Command, Hand};

use crate::fault::{Fault, Faults};
use crate::line::{Flaw, Line, Make};
use crate::people::People;
use crate::transmitter::{Transmitter, of_instructor, of_student};

/// The clock of the box at the beginning of the lesson; it wraps a minute later.
const CLOCK: u32 = u32::MAX - 60_000_000;

/// The longest turn of the loop without a fault, in microseconds.
const LONGEST_TURN: u64 = 4_000;

pub const INSTRUCTOR: Make =
    Make { side: Side::Instructor, channels: CHANNELS, separators: Level::High, separator: 300, frame: 22_500 };

pub const STUDENT: Make =
    Make { side: Side::Student, channels: STUDENT_CHANNELS, separators: Level::Low, separator: 350, frame: 20_017 };

/// One action of the lesson. Times are in microseconds.
#[derive(Clone, Copy, Debug)]
pub enum Act {
    /// A command without an answer.
    Tell(Command),
    /// A step of the loop.
    Step(u64, Hand),
    /// The timer interrupts alone, up to this time.
    Alarm(u64),
    /// A reset of this kind, and the time at which the box has started again.
    Reset(Fault, u64),
}

#[derive(Debug)]
pub struct Lesson {
    random: Random,
    pub people: People,
    /// The instructor's line and the student's.
    pub lines: [Line; 2],
    pub faults: Faults,
    pub now: u64,
    /// Number of frames that the instructor has sent.
    pub frames: u64,
    next_step: u64,
    late_until: u64,
    hangs_until: u64,
    next_reset: u64,
    /// The box is down until this time: no edge reaches it.
    down_until: u64,
    /// There are no faults until this time, so that the student can fly.
    calm_until: u64,
    /// The transmitters; `None` for those of the plan that the box was built with.
    transmitters: Option<[Transmitter; 2]>,
}

/// The instant on the clock of the box for a time of the lesson.
pub fn instant(at: u64) -> Instant {
    #[allow(clippy::cast_possible_truncation)] // the clock of the box wraps
    let low = at as u32;
    Instant::from_ticks(CLOCK.wrapping_add(low))
}

/// The time of the lesson for an instant close to the time `near`.
pub fn time(near: u64, ticks: u32) -> u64 {
    let ahead = ticks.wrapping_sub(instant(near).as_ticks()).cast_signed();
    near.saturating_add_signed(i64::from(ahead))
}

impl Lesson {
    pub fn new(seed: u64) -> Self {
        Self {
            random: Random::new(seed ^ 0xB0C5),
            people: People::new(seed),
            lines: [Line::new(INSTRUCTOR, 30_000), Line::new(STUDENT, 41_000)],
            faults: Faults::default(),
            now: 10_000,
            frames: 0,
            next_step: 10_000,
            late_until: 0,
            hangs_until: 0,
            next_reset: 6_000_000,
            down_until: 0,
            calm_until: 2_000_000,
            transmitters: None,
        }
    }

    /// A lesson with these transmitters from now on, on lines that they have sent on before. The box is not reset.
    pub fn with(seed: u64, transmitters: [Transmitter; 2], lines: [Line; 2], now: u64) -> Self {
        let (calm_until, transmitters) = (now + 2_000_000, Some(transmitters));
        Self { lines, now, next_step: now, next_reset: u64::MAX, calm_until, transmitters, ..Self::new(seed) }
    }

    /// The actions of the next stretch of the lesson, which is about one frame long.
    pub fn go_on(&mut self, student_flies: bool) -> Vec<Act> {
        let (from, until) = (self.now, self.now + self.random.time(20_000, 25_000));
        self.people.decide(from, student_flies);
        let mut acts = Vec::new();
        self.disturb(from, student_flies, &mut acts);
        self.send(until);
        let mut timed = self.edges(from, until);
        self.turns(until, &mut timed);
        timed.sort_by_key(|&(at, order, _)| (at, order));
        acts.extend(timed.into_iter().map(|(_, _, act)| act));
        self.now = until;
        acts
    }

    /// Starts the frames of both transmitters before `until`, some of them with a flaw.
    fn send(&mut self, until: u64) {
        while self.lines[0].next_start < until {
            self.frames += 1;
            let (mut widths, flaw) = (self.people.instructor(), self.flaw(0));
            if let Some([instructor, _]) = self.transmitters {
                widths = instructor.widths(of_instructor(&widths), &mut self.random);
            }
            self.lines[0].send(widths, flaw);
        }
        while self.lines[1].next_start < until {
            let (mut widths, flaw) = (self.people.student(), self.flaw(1));
            if let Some([_, student]) = self.transmitters {
                widths = student.widths(of_student(&widths), &mut self.random);
            }
            self.lines[1].send(widths, flaw);
        }
    }

    /// A random flaw for the next frame of a line, or none.
    fn flaw(&mut self, line: usize) -> Option<Flaw> {
        if self.now < self.calm_until || !self.random.one_in(6) {
            return None;
        }
        let make = self.lines[line].make;
        let edges = i64::try_from(2 * make.channels + 1).expect("small");
        let edge = usize::try_from(self.random.within(0, edges)).expect("not negative");
        let (fault, flaw) = match self.random.within(0, 5) {
            0 => {
                let count = usize::try_from(self.random.within(1, 3)).expect("not negative");
                (Fault::LostEdges, Flaw::Lost { from: edge, count })
            }
            1 => (Fault::DoubledEdge, Flaw::Doubled(edge)),
            2 => {
                let by = self.random.one_of(&[1, 4, 6, 7, 15, 40]);
                let by = if self.random.one_in(2) { by } else { -by };
                (Fault::MovedEdge, Flaw::Moved { edge, by })
            }
            3 => {
                let after = self.random.time(0, make.frame - 1_000);
                (Fault::Glitch, Flaw::Glitch { after, width: self.random.time(1, 190) })
            }
            4 => (Fault::HalfFrame, Flaw::Half { after: edge }),
            _ => (Fault::WrongCount, Flaw::Count { less: self.random.one_in(2) }),
        };
        self.faults.note(self.now, fault);
        Some(flaw)
    }

    /// Begins a random fault that is not limited to one frame, or none.
    fn disturb(&mut self, now: u64, student_flies: bool, acts: &mut Vec<Act>) {
        if now >= self.next_reset && student_flies && self.random.one_in(60) {
            self.reset(now, acts);
            return;
        }
        if now < self.calm_until || !self.random.one_in(14) {
            return;
        }
        let side = usize::from(self.random.one_in(2));
        let fault = match self.random.within(0, 15) {
            0 => Fault::InstructorCableOut,
            1 => Fault::StudentCableOut,
            2 => Fault::WrongPolarity,
            3 | 4 => Fault::OutOfRange,
            5 | 6 => Fault::Overrun,
            7..=10 => Fault::SwitchBounce,
            11 => Fault::SwitchPinFails,
            12 if self.random.one_in(2) => Fault::ButtonPinFails,
            13 => Fault::LoopIsLate,
            14 => Fault::LoopHangs,
            _ => return,
        };
        self.faults.note(now, fault);
        match fault {
            Fault::InstructorCableOut => {
                let until = now + self.random.one_of(&[10_000, 40_000, 120_000, 300_000, 1_600_000]);
                self.lines[0].cut(now, until + self.random.time(0, 20_000));
            }
            Fault::StudentCableOut => {
                let until = now + self.random.one_of(&[10_000, 40_000, 120_000, 600_000]);
                self.lines[1].cut(now, until + self.random.time(0, 20_000));
            }
            Fault::WrongPolarity => {
                let until = now + self.random.time(40_000, 250_000);
                self.lines[side].turn_over(now, until);
            }
            Fault::OutOfRange => {
                let frames = self.random.within(1, 9);
                self.people.leave_range(side == 0, frames);
            }
            Fault::Overrun => {
                // A complete frame that no step has read yet is lost too.
                self.lines[side].went_wrong(now - LONGEST_TURN, now);
                acts.push(Act::Tell(Command::Overrun(self.lines[side].make.side)));
            }
            Fault::SwitchBounce => {
                let until = now + self.random.time(1_000, 60_000);
                self.people.bounce(until);
            }
            Fault::SwitchPinFails => {
                let until = now + self.random.time(1_000, 50_000);
                self.people.fail_switch(until);
            }
            Fault::ButtonPinFails => {
                let until = now + self.random.time(1_000, 50_000);
                self.people.fail_button(until);
            }
            Fault::LoopIsLate => self.late_until = now + self.random.time(30_000, 400_000),
            Fault::LoopHangs => self.hangs_until = now + self.random.time(30_000, 400_000),
            _ => {}
        }
        self.calm_down(now);
    }

    /// Resets the box in the middle of the lesson. The next reset comes some seconds later, while the student flies.
    fn reset(&mut self, now: u64, acts: &mut Vec<Act>) {
        let ways = [Fault::ResetByItself, Fault::ResetByButton, Fault::ResetByWatchdog];
        let how = ways.into_iter().min_by_key(|&way| self.faults.of(way)).unwrap_or(Fault::ResetByItself);
        let down = match how {
            Fault::ResetByWatchdog => self.random.time(100_000, 160_000),
            _ => self.random.time(1_000, 60_000),
        };
        self.faults.note(now, how);
        self.lines.iter_mut().for_each(|line| line.went_wrong(now, now + down));
        (self.next_step, self.late_until, self.hangs_until) = (now + down, 0, 0);
        self.down_until = now + down;
        self.next_reset = now + self.random.time(5_000_000, 9_000_000);
        self.calm_until = now + 1_500_000;
        // The answer to the alarm shows that the box has read all earlier commands. That is needed because the button
        // is not on the serial line.
        acts.extend([Act::Alarm(now), Act::Reset(how, now + down)]);
    }

    /// After one in four faults there are no further faults for long enough to hand back.
    fn calm_down(&mut self, now: u64) {
        if self.random.one_in(4) {
            self.calm_until = now + self.random.time(1_000_000, 4_000_000);
        }
    }

    /// The edges that arrive at the box.
    fn edges(&mut self, from: u64, until: u64) -> Vec<(u64, u8, Act)> {
        let mut edges = Vec::new();
        for line in &mut self.lines {
            let side = line.make.side;
            for arrival in line.arrivals(from, until).into_iter().filter(|arrival| arrival.at >= self.down_until) {
                let edge = Edge { at: instant(arrival.at), level: arrival.level };
                edges.push((arrival.at, 0, Act::Tell(Command::Edge(side, edge))));
            }
        }
        edges
    }

    /// The turns of the loop, where it runs.
    fn turns(&mut self, until: u64, timed: &mut Vec<(u64, u8, Act)>) {
        while self.next_step < until {
            let at = self.next_step;
            if at < self.hangs_until {
                timed.push((at, 1, Act::Alarm(at)));
            } else if at >= self.late_until {
                timed.push((at, 1, Act::Step(at, self.people.hand(at))));
            }
            self.next_step += self.random.time(800, LONGEST_TURN);
        }
    }
}
