//! A lesson of random people, from the edges of two transmitters to the box, in steps of a millisecond.
#![allow(dead_code)] // each test file uses a part

use std::sync::LazyLock;

use handback::cue::CueRules;
use handback::ppm::{DecoderSetup, Edge, Encoder, EncoderSetup, Level};
use handback::{AxisRule, Channel, Channels, Deflection, Instant, Policy, Pulse};
use seeded::Random;
use trainer_box::{AxisName, CheckedPlan, Desk, Plan, Row, Side, Step, TrainerBox};

pub(crate) const AXES: usize = 4;
pub(crate) const CHANNELS: usize = 8;

/// The row of these lessons.
pub(crate) type Flown = Row<AXES, CHANNELS, CHANNELS>;

/// The throttle waits for its pickup; the student's elevator is reversed, and the student's rudder has 60 % of its
/// travel.
pub(crate) static PLAN: LazyLock<CheckedPlan<AXES, CHANNELS, CHANNELS>> =
    LazyLock::new(|| plan().check().expect("in order"));

pub(crate) fn plan() -> Plan<AXES, CHANNELS, CHANNELS> {
    let stick = AxisRule::sprung();
    let mut student = [Channel::pulse(1), Channel::pulse(0), Channel::pulse(2), Channel::pulse(3)];
    student[1].reversed = true;
    student[3].rate = Deflection::from_points(60);
    let mut policy = Policy::new([stick, stick, AxisRule::unsprung(Deflection::from_points(-100)), stick]);
    policy.axes[2].keep = false; // a moved throttle does not end the lesson
    Plan {
        names: AxisName::all(["aileron", "elevator", "throttle", "rudder"]),
        policy,
        instructor: Channels::pulses(),
        student: Channels::new(student),
        craft: Channels::pulses(),
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    }
}

/// A transmitter and a person: sticks that move towards targets at random speeds, with noise.
struct Transmitter {
    side: Side,
    train: Encoder<CHANNELS>,
    next: Option<Edge>,
    sticks: [i64; CHANNELS],
    paces: [i64; CHANNELS],
    targets: [i64; CHANNELS],
    speed: i64,
}

impl Transmitter {
    fn new(side: Side, starts: u32, frame: u32) -> Self {
        let mut setup = EncoderSetup::new(Level::High);
        setup.frame_length = handback::Duration::from_micros(frame);
        setup.longest = Pulse::from_micros(2_080);
        let sticks = [1_500, 1_500, 1_200, 1_500, 1_000, 1_900, 1_500, 1_500];
        let train = setup.check().expect("in order");
        let mut new = Self { side, train, next: None, sticks, paces: [0; CHANNELS], targets: sticks, speed: 5 };
        assert!(new.train.start(Instant::from_ticks(starts), &new.widths(1, &mut Random::new(1))).is_empty());
        new.next = new.train.next_edge();
        new
    }

    fn widths(&self, noise: i64, random: &mut Random) -> [Pulse; CHANNELS] {
        self.sticks.map(|stick| {
            let width = (stick + random.within(-noise, noise)).clamp(920, 2_080);
            Pulse::from_micros(u32::try_from(width).expect("in range"))
        })
    }

    /// Moves the sticks on by one frame: each is pulled towards its target, never quite evenly, as a hand moves it.
    fn moves(&mut self, noise: i64, random: &mut Random) {
        for ((stick, pace), target) in self.sticks.iter_mut().zip(&mut self.paces).zip(self.targets) {
            let wanted = ((target - *stick) / 4).clamp(-self.speed, self.speed);
            *pace = (*pace * 3 + wanted) / 4;
            let uneven = pace.abs() / 4;
            *stick += *pace + random.within(-uneven, uneven) + (target - *stick).signum();
        }
        let widths = self.widths(noise, random);
        assert!(self.train.send(&widths).is_empty());
    }
}

/// A lesson.
pub(crate) struct Lesson {
    pub(crate) now: u32,
    pub(crate) trainer_box: TrainerBox<'static, AXES, CHANNELS, CHANNELS>,
    pub(crate) desk: Desk,
    /// Whether people move at all; otherwise the sticks rest with their noise.
    pub(crate) lively: bool,
    /// Whether the lesson switch is turned at random.
    pub(crate) switches: bool,
    /// The largest noise of a stick on either side, in microseconds.
    pub(crate) noise: i64,
    /// Whether edges are lost now and then.
    pub(crate) faults: bool,
    instructor: Transmitter,
    student: Transmitter,
    random: Random,
    /// Milliseconds since the start.
    ms: u32,
    turn_at: u32,
    silent_until: u32,
}

impl Lesson {
    pub(crate) fn new(seed: u64) -> Self {
        Self::starting_at(seed, 0)
    }

    /// A lesson whose clock starts here.
    pub(crate) fn starting_at(seed: u64, now: u32) -> Self {
        Self {
            now,
            trainer_box: TrainerBox::new(&PLAN, Instant::from_ticks(now)),
            desk: Desk::default(),
            lively: true,
            switches: true,
            noise: 1,
            faults: false,
            instructor: Transmitter::new(Side::Instructor, now.wrapping_add(5_000), 20_000),
            student: Transmitter::new(Side::Student, now.wrapping_add(13_000), 20_010),
            random: Random::new(seed),
            ms: 0,
            turn_at: 3_000,
            silent_until: 0,
        }
    }

    /// A box that is powered on the bench: the button is held, and no transmitter is on.
    pub(crate) fn on_the_bench(seed: u64) -> Self {
        let mut bench = Self::new(seed);
        (bench.switches, bench.lively) = (false, false);
        (bench.instructor.next, bench.student.next) = (None, None);
        bench.desk.instructor_now = true;
        bench
    }

    /// The box is reset; people and transmitters go on.
    pub(crate) fn reset(&mut self) {
        self.trainer_box = TrainerBox::new(&PLAN, Instant::from_ticks(self.now));
    }

    /// The edges until now, then a step.
    pub(crate) fn step(&mut self, mut hear: impl FnMut(Side, Edge)) -> Step<AXES, CHANNELS> {
        self.now = self.now.wrapping_add(1_000);
        let now = self.now;
        self.ms += 1;
        if self.ms.is_multiple_of(20) {
            self.live();
        }
        for transmitter in [&mut self.instructor, &mut self.student] {
            while let Some(edge) = transmitter.next
                && now.wrapping_sub(edge.at.as_ticks()) < 1 << 31
            {
                let lost = self.faults && self.random.one_in(400);
                if !lost && (transmitter.side == Side::Instructor || self.silent_until == 0) {
                    self.trainer_box.edge(transmitter.side, edge);
                    hear(transmitter.side, edge);
                }
                transmitter.next = transmitter.train.next_edge();
            }
        }
        self.trainer_box.step(Instant::from_ticks(now), self.desk)
    }

    fn live(&mut self) {
        let random = &mut self.random;
        if self.lively {
            if random.one_in(40) {
                let axis = usize::try_from(random.within(0, 3)).expect("small");
                self.student.targets[axis] = random.within(1_100, 1_900);
                self.student.speed = random.within(1, 25);
            }
            if random.one_in(200) {
                self.instructor.speed = random.within(2, 30);
                let axis = usize::try_from(random.within(0, 3)).expect("small");
                self.instructor.targets[axis] = if axis == 2 { random.within(1_050, 1_900) } else { 1_600 };
            } else if random.one_in(30) {
                let throttle = self.instructor.targets[2];
                self.instructor.targets = [1_500, 1_500, throttle, 1_500, 1_000, 1_900, 1_500, 1_500];
            }
            self.silent_until = match self.silent_until {
                0 if random.one_in(1_500) => 40,
                0 => 0,
                left => left - 1,
            };
        }
        self.instructor.moves(self.noise, random);
        self.student.moves(self.noise, random);
        self.turn_at = self.turn_at.saturating_sub(20);
        if self.switches && self.turn_at == 0 {
            self.desk.lesson_switch ^= true;
            let longest = if self.desk.lesson_switch { 20_000 } else { 30_000 };
            self.turn_at = u32::try_from(random.within(10, longest / 20)).expect("positive") * 20;
        }
    }
}
