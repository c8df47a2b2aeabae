//! Tests the check of the bench in the box, from edges to lamp and beeper, with two transmitters and two people.

use std::sync::LazyLock;

use handback::cue::CueRules;
use handback::ppm::{DecoderSetup, Edge, Encoder, EncoderSetup, Level};
use handback::preflight::{Action as Asked, End, Finding, Obstacle, Side as Whose};
use handback::{AxisRule, Channel, Channels, Deflection, Instant, Policy, Pulse};
use trainer_box::{AxisName, CheckedPlan, Desk, Plan, Side, TrainerBox, What};

const IDLE: u16 = 1_000;

/// The rests of the sticks, in half microseconds from the centre.
const REST: [i16; 4] = [0, 0, -1_000, 0];

/// The student's rudder is set up for 60 % of its travel.
static PLAN: LazyLock<CheckedPlan<4, 8, 8>> = LazyLock::new(|| {
    let stick = AxisRule::sprung();
    let mut student = Channels::pulses();
    student.axes[3] = Some({
        let mut channel = Channel::pulse(3);
        channel.rate = Deflection::from_points(60);
        channel
    });
    let plan = Plan {
        names: AxisName::all(["aileron", "elevator", "throttle", "rudder"]),
        policy: Policy::new([stick, stick, AxisRule::unsprung(Deflection::from_points(-100)), stick]),
        instructor: Channels::pulses(),
        student,
        craft: Channels::pulses(),
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.check().expect("a plan that is in order")
});

/// A transmitter and the person who holds it: the positions and the targets of the sticks, in half microseconds from
/// the centre.
struct Transmitter {
    side: Side,
    train: Encoder<8>,
    next: Option<Edge>,
    sticks: [i16; 4],
    targets: [i16; 4],
    reversed: [bool; 4],
}

impl Transmitter {
    fn off(side: Side) -> Self {
        let train = EncoderSetup::new(Level::High).check().expect("a set-up that is in order");
        Self { side, train, next: None, sticks: REST, targets: REST, reversed: [false; 4] }
    }

    fn widths(&self) -> [Pulse; 8] {
        let mut widths = [Pulse::from_micros(1_500); 8];
        for ((width, stick), reversed) in widths.iter_mut().zip(self.sticks).zip(self.reversed) {
            let halves = 3_000 + if reversed { -stick } else { stick };
            *width = Pulse::from_bits(halves.unsigned_abs() * 8);
        }
        widths
    }

    fn turn_on(&mut self, now: u32) {
        self.train = EncoderSetup::new(Level::High).check().expect("a set-up that is in order");
        assert!(self.train.start(Instant::from_ticks(now + 1_000), &self.widths()).is_empty());
        self.next = self.train.next_edge();
    }

    /// A millisecond: a stick moves by up to 1.5 us, which is 300 points a second.
    fn pass(&mut self) {
        for (stick, target) in self.sticks.iter_mut().zip(self.targets) {
            *stick += (target - *stick).clamp(-3, 3);
        }
        if self.next.is_some() {
            assert!(self.train.send(&self.widths()).is_empty());
        }
    }
}

/// A bench in steps of a millisecond.
struct Bench {
    now: u32,
    trainer_box: TrainerBox<'static, 4, 8, 8>,
    instructor: Transmitter,
    student: Transmitter,
    desk: Desk,
    /// The changes of switch and button to come, each with its time.
    plan: Vec<(u32, Desk)>,
    told: Vec<What>,
    /// The times for which lamp and beeper were on, in milliseconds.
    beats: Vec<u32>,
    was_on: bool,
    /// The largest throttle that was sent to the craft.
    throttle: u16,
}

impl Bench {
    /// Powered with the button held and the transmitters off; they are turned on once the check has begun.
    fn powered() -> Self {
        let mut bench = Self {
            now: 0,
            trainer_box: TrainerBox::new(&PLAN, Instant::from_ticks(0)),
            instructor: Transmitter::off(Side::Instructor),
            student: Transmitter::off(Side::Student),
            desk: Desk { lesson_switch: false, instructor_now: true },
            plan: Vec::new(),
            told: Vec::new(),
            beats: Vec::new(),
            was_on: false,
            throttle: 0,
        };
        bench.pass(2_100);
        bench.desk.instructor_now = false;
        bench.instructor.turn_on(bench.now);
        bench.student.turn_on(bench.now);
        bench
    }

    fn pass(&mut self, ms: u32) {
        for _ in 0..ms {
            self.step();
        }
    }

    fn step(&mut self) {
        self.now += 1_000;
        while let Some(&(at, desk)) = self.plan.first()
            && at <= self.now
        {
            self.plan.remove(0);
            self.desk = desk;
        }
        for transmitter in [&mut self.instructor, &mut self.student] {
            transmitter.pass();
            while let Some(edge) = transmitter.next
                && edge.at.as_ticks() <= self.now
            {
                self.trainer_box.edge(transmitter.side, edge);
                transmitter.next = transmitter.train.next_edge();
            }
        }
        let step = self.trainer_box.step(Instant::from_ticks(self.now), self.desk);
        self.throttle = self.throttle.max(step.pulses.map_or(0, |pulses| pulses[2].to_micros()));
        assert_eq!(step.signs.lamp, step.signs.beeper);
        match self.beats.last_mut() {
            Some(last) if step.signs.lamp && self.was_on => *last += 1,
            _ if step.signs.lamp => self.beats.push(1),
            _ => {}
        }
        self.was_on = step.signs.lamp;
        while let Some(entry) = self.trainer_box.next_entry() {
            self.told.push(entry.what);
            if let What::Asks(asked) = entry.what {
                self.do_as_told(asked);
            }
        }
    }

    fn do_as_told(&mut self, asked: Asked) {
        let off = Desk::default();
        let on = Desk { lesson_switch: true, ..off };
        let (soon, later) = (self.now + 300_000, self.now + 700_000);
        let transmitter = match asked.side() {
            Some(Whose::Student) => &mut self.student,
            _ => &mut self.instructor,
        };
        let axis = usize::from(asked.axis().unwrap_or(0));
        match asked {
            Asked::Move { end, .. } => transmitter.targets[axis] = if end == End::Positive { 1_000 } else { -1_000 },
            Asked::Return { .. } | Asked::HandBack { .. } => transmitter.targets = REST,
            Asked::TakeOver { .. } => transmitter.targets[axis] = REST[axis] + 200,
            Asked::HandOver => self.plan = vec![(soon, on)],
            Asked::Again { .. } => self.plan = vec![(soon, off), (later, on)],
            Asked::Finish => self.plan = vec![(soon, off)],
            Asked::Press => self.plan = vec![(soon, Desk { instructor_now: true, ..on }), (later, on)],
            Asked::LinkOff => transmitter.next = None,
            Asked::LinkOn => transmitter.turn_on(self.now),
            Asked::Start | Asked::Done => {}
        }
    }

    fn found(&self) -> Vec<Finding> {
        self.told
            .iter()
            .filter_map(|what| if let What::Found(finding) = what { Some(*finding) } else { None })
            .collect()
    }

    fn ended(&self) -> Option<bool> {
        self.told.iter().find_map(|what| if let What::CheckEnds { passed } = what { Some(*passed) } else { None })
    }
}

/// Given a sound bench, when the check runs, then pulses say whose turn it is, a flutter ends the check, and the
/// throttle stays at idle.
#[test]
fn a_sound_bench_is_guided_through_and_ends_with_a_flutter() {
    let mut bench = Bench::powered();
    bench.pass(120_000);
    assert_eq!((bench.ended(), bench.found()), (Some(true), Vec::new()), "{:?}", bench.told.last());
    assert_eq!(bench.throttle, IDLE, "the throttle stays where it is safe");
    assert!(bench.beats.ends_with(&[60; 8]), "{:?}", bench.beats);
    assert!(bench.beats.iter().all(|beat| [250, 60].contains(beat)), "{:?}", bench.beats);
}

/// Given a reversed channel, when the check runs, then a very long pulse announces the fault, and the pulses after it
/// count its axis.
#[test]
fn a_fault_is_told_by_a_very_long_pulse_and_its_axis_by_count() {
    let mut bench = Bench::powered();
    bench.student.reversed[1] = true;
    bench.pass(130_000);
    assert_eq!(
        (bench.ended(), bench.found()),
        (Some(false), vec![Finding::Reversed { side: Whose::Student, axis: 1 }])
    );
    assert_eq!(bench.throttle, IDLE);
    assert!(bench.beats.windows(4).any(|beats| beats == [1_200, 150, 150, 250]), "{:?}", bench.beats);
    assert!(!bench.beats.contains(&60));
}

/// Given a throttle that is up, when the check is to begin, then it is refused, the pulses count its axis, and its
/// position is never sent.
#[test]
fn a_throttle_that_is_up_is_refused_and_never_sent() {
    let mut bench = Bench::powered();
    bench.student.sticks[2] = 200;
    bench.student.targets[2] = 200;
    bench.pass(20_000);
    let refused =
        |what: &What| matches!(what, What::Refuses(Obstacle::ThrottleUp { side: Whose::Student, axis: 2, .. }));
    assert!(bench.told.iter().any(refused), "{:?}", bench.told);
    assert!(bench.beats.windows(4).any(|beats| beats == [1_200, 150, 150, 150]), "{:?}", bench.beats);
    assert_eq!((bench.ended(), bench.throttle), (None, IDLE));
    bench.student.targets[2] = -1_000;
    bench.pass(120_000);
    assert_eq!((bench.ended(), bench.throttle), (Some(true), IDLE));
}

/// Given a box that is reset in the air, when the button is pressed, then no check begins while the instructor's train
/// is there or the switch is on; nor does one when the button is held for too short a time.
#[test]
fn no_check_begins_while_the_box_may_be_flying() {
    for (heard, switch, held) in [(true, false, 10_000), (false, true, 10_000), (false, false, 1_900)] {
        let mut bench = Bench::powered();
        bench.trainer_box = TrainerBox::new(&PLAN, Instant::from_ticks(bench.now));
        bench.told.clear();
        if !heard {
            bench.instructor.next = None;
        }
        bench.desk = Desk { lesson_switch: switch, instructor_now: true };
        bench.pass(held);
        bench.desk = Desk::default();
        bench.pass(3_000);
        assert!(!bench.told.contains(&What::CheckBegins), "{:?}", bench.told);
    }
    assert!(Bench::powered().told.contains(&What::CheckBegins));
}
