//! The desk: the emulated board, two transmitters, switch and button, and the time of all of them.

use handback::Pulse;
use handback::ppm::{Edge, Level};
use seeded::Random;
use trainer_box::Side;
use trainer_box_bench::Wrong;
use trainer_box_bench::board::{Answer, Board};
use trainer_box_bench::lesson::{Act, Lesson, instant};
use trainer_box_bench::line::{Line, Make};
use trainer_box_bench::transmitter::{Stick, Transmitter};
use trainer_box_rig::{Command, Hand, Report};

use crate::order::{AXES, Button, Deed, Order};
use crate::pilot::Pilot;
use crate::signs::Sign;

/// A turn of the desk, and the time from step to step of the box, in microseconds.
const TURN: u64 = 20_000;
const STEP: u64 = 4_000;
/// How long a press of the button lasts, in microseconds.
const PRESS: u64 = 300_000;

/// The transmitters of the desk are none that the box's built-in plan fits.
const INSTRUCTOR: Transmitter = Transmitter {
    make: Make { side: Side::Instructor, channels: 9, separators: Level::Low, separator: 320, frame: 24_500 },
    sticks: [
        Stick { channel: 2, reversed: false, low: 1_000, centre: 1_500, high: 2_000 },
        Stick { channel: 3, reversed: true, low: 1_000, centre: 1_500, high: 2_000 },
        Stick { channel: 1, reversed: false, low: 1_000, centre: 1_500, high: 2_000 },
        Stick { channel: 0, reversed: false, low: 1_000, centre: 1_500, high: 2_000 },
    ],
};
const STUDENT: Transmitter = Transmitter {
    make: Make { side: Side::Student, channels: 7, separators: Level::High, separator: 380, frame: 21_017 },
    sticks: [
        Stick { channel: 3, reversed: false, low: 1_090, centre: 1_512, high: 1_930 },
        Stick { channel: 0, reversed: false, low: 1_080, centre: 1_495, high: 1_920 },
        Stick { channel: 2, reversed: false, low: 1_100, centre: 1_500, high: 1_900 },
        Stick { channel: 5, reversed: true, low: 1_075, centre: 1_506, high: 1_940 },
    ],
};

#[derive(Debug)]
pub(crate) struct Desk {
    board: Board,
    powered: bool,
    pub(crate) now: u64,
    transmitters: [Transmitter; 2],
    lines: [Line; 2],
    on: [bool; 2],
    pilots: [Pilot; 2],
    random: Random,
    hand: Hand,
    /// When a press of the button ends.
    pressed_until: Option<u64>,
    lamp: Sign,
    beeper: Sign,
    craft: bool,
    last: Option<Report>,
}

impl Desk {
    pub(crate) fn new(board: Board) -> Self {
        let transmitters = [INSTRUCTOR, STUDENT];
        Self {
            board,
            powered: true,
            now: 10_000,
            transmitters,
            lines: transmitters.map(|transmitter| Line::new(transmitter.make, 30_000)),
            on: [false; 2],
            pilots: [Pilot::NEW; 2],
            random: Random::new(1),
            hand: Hand::default(),
            pressed_until: None,
            lamp: Sign::new("lamp"),
            beeper: Sign::new("beeper"),
            craft: false,
            last: None,
        }
    }

    /// Whether the power of the box is on.
    pub(crate) const fn is_on(&self) -> bool {
        self.powered
    }

    /// Prints a line with the time.
    pub(crate) fn say(&self, what: &str) {
        println!("{:>9.3} s  {what}", f64::from(u32::try_from(self.now / 1_000).unwrap_or(u32::MAX)) / 1_000.0);
    }

    /// Carries out an order, except those of the loop.
    pub(crate) fn obey(&mut self, order: Order) -> Result<(), Wrong> {
        match order {
            Order::Of(side, deed) => self.transmitter(usize::from(side == Side::Student), deed),
            Order::Switch(on) => self.hand.lesson_switch = on,
            Order::Button(how) => {
                self.hand.instructor_now = how != Button::Release;
                self.pressed_until = (how == Button::Press).then_some(self.now + PRESS);
            }
            Order::Power(true) if !self.powered => {
                self.board.turn_on()?;
                self.powered = true;
                self.say("box: up");
            }
            Order::Power(false) if self.powered => {
                self.board.send(&[Command::PowerOff])?;
                if self.board.answer()? != Answer::Off {
                    return Err(Wrong::new("the board does not turn off".into()));
                }
                self.goes_off();
            }
            Order::Power(on) => self.say(if on { "the power is on already" } else { "the power is off already" }),
            Order::Cut(_) if !self.powered => self.say("the power is off: turn it on first"),
            Order::Cut(after) => self.board.send(&[Command::Cut(after)])?,
            Order::Look => self.look(),
            Order::Wait(_) | Order::Pause | Order::Lesson { .. } | Order::Help | Order::Quit => {}
        }
        Ok(())
    }

    fn transmitter(&mut self, who: usize, deed: Deed) {
        match deed {
            Deed::On(on) => self.on[who] = on,
            Deed::Stick { axis, to } => self.pilots[who].stick(axis, to),
            Deed::All(how) => self.pilots[who].all(how),
            Deed::Reverse(axis) => self.transmitters[who].sticks[axis].reversed ^= true,
        }
    }

    fn look(&self) {
        let on_off = |on| if on { "on" } else { "off" };
        for (who, name) in ["instructor", "student"].into_iter().enumerate() {
            let sticks = AXES.iter().zip(self.pilots[who].at).map(|(name, at)| format!("{name} {}", at / 10));
            self.say(&format!("{name}: {}; {}", on_off(self.on[who]), sticks.collect::<Vec<_>>().join(", ")));
        }
        self.say(&format!("switch: {}; power: {}", on_off(self.hand.lesson_switch), on_off(self.powered)));
        let sent = self.last.as_ref().and_then(|report| report.step.as_ref()?.said.pulses);
        let sent = sent.filter(|_| self.powered).map(|pulses| pulses.map(Pulse::to_micros));
        let count = self.transmitters[0].make.channels;
        self.say(&sent.map_or("craft: no pulses".to_owned(), |sent| format!("craft: {:?} us", &sent[..count])));
    }

    fn goes_off(&mut self) {
        (self.powered, self.last, self.craft) = (false, None, false);
        (self.lamp, self.beeper) = (Sign::new("lamp"), Sign::new("beeper"));
        self.say("box: the power is off");
    }

    /// A turn of the desk.
    pub(crate) fn pass(&mut self) -> Result<(), Wrong> {
        let (from, until) = (self.now, self.now + TURN);
        if self.pressed_until.is_some_and(|end| end <= from) {
            (self.pressed_until, self.hand.instructor_now) = (None, false);
        }
        for who in 0..2 {
            self.pilots[who].pass();
            while self.lines[who].next_start < until {
                if self.on[who] {
                    let widths = self.transmitters[who].widths(self.pilots[who].at, &mut self.random);
                    self.lines[who].send(widths, None);
                } else {
                    self.lines[who].next_start = until;
                }
            }
        }
        let mut timed = Vec::new();
        for line in &mut self.lines {
            for arrival in line.arrivals(from, until) {
                let edge = Edge { at: instant(arrival.at), level: arrival.level };
                timed.push((arrival.at, 0, Command::Edge(line.make.side, edge)));
            }
            let _ = line.heard(from, 0); // nobody judges them
        }
        timed.extend(
            (from..until)
                .step_by(usize::try_from(STEP).unwrap_or(1))
                .map(|at| (at, 1, Command::Step(instant(at), self.hand))),
        );
        timed.sort_by_key(|&(at, order, _)| (at, order));
        self.tell(timed.into_iter().map(|(at, _, command)| (at, command)))?;
        self.now = until;
        Ok(())
    }

    /// Two people fly a lesson with faults, of this number of the instructor's frames. `at_turn` is called after each
    /// turn, and says whether to go on.
    pub(crate) fn lesson(&mut self, frames: u64, seed: u64, mut at_turn: impl FnMut(u64) -> bool) -> Result<(), Wrong> {
        let mut lesson = Lesson::with(seed, self.transmitters, self.lines.clone(), self.now);
        let mut student_flies = false;
        while lesson.frames < frames && self.powered {
            let mut told = Vec::new();
            for act in lesson.go_on(student_flies) {
                match act {
                    Act::Tell(command) => told.push((self.now, command)),
                    Act::Step(at, hand) => told.push((at, Command::Step(instant(at), hand))),
                    Act::Alarm(at) => told.push((at, Command::Alarm(instant(at)))),
                    Act::Reset(..) => return Err(Wrong::new("a reset in a lesson without resets".into())),
                }
            }
            self.tell(told.into_iter())?;
            self.now = lesson.now;
            for line in &mut lesson.lines {
                let _ = line.heard(self.now, 0); // nobody judges them
            }
            let said = self.last.as_ref().and_then(|report| report.step.as_ref());
            student_flies = said.is_some_and(|step| !step.said.outcome.pilot.student().is_empty());
            if !at_turn(self.now) {
                break;
            }
        }
        self.say(&format!("lesson over: {} frames, {} faults", lesson.frames, lesson.faults.all()));
        self.lines = lesson.lines;
        Ok(())
    }

    /// Sends commands to the board, and takes its answers.
    fn tell(&mut self, timed: impl Iterator<Item = (u64, Command)>) -> Result<(), Wrong> {
        if !self.powered {
            return Ok(());
        }
        let timed = timed.collect::<Vec<_>>();
        self.board.send(&timed.iter().map(|&(_, command)| command).collect::<Vec<_>>())?;
        for &(at, command) in &timed {
            if matches!(command, Command::Step(..) | Command::Alarm(_)) {
                match self.board.answer()? {
                    Answer::Off => {
                        self.goes_off();
                        return Ok(());
                    }
                    Answer::Up => return Err(Wrong::new("the board was reset by its watchdog".into())),
                    Answer::Report(bytes) => {
                        let report = Report::from_bytes(&bytes);
                        let report = report.ok_or_else(|| Wrong::new("the board's answer is none".into()))?;
                        self.hear(at, report);
                    }
                }
            }
        }
        Ok(())
    }

    fn hear(&mut self, at: u64, report: Report) {
        let Some(step) = &report.step else { return };
        let (lamp, beeper) = (step.lamp, step.beeper > 0);
        let craft = step.said.pulses.is_some();
        self.now = self.now.max(at);
        for said in [self.lamp.pass(at, lamp), self.beeper.pass(at, beeper)].into_iter().flatten() {
            self.say(&said);
        }
        if craft != self.craft {
            self.craft = craft;
            self.say(if craft { "craft: pulses begin" } else { "craft: pulses stop" });
        }
        self.last = Some(report);
    }
}
