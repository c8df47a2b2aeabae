//! The box on the host, with the trains of two transmitters without faults. The emulated box covers faults.

mod plans;

use std::sync::LazyLock;

use handback::ppm::{Edge, Encoder, EncoderSetup, Level};
use handback::{Duration, Instant, Pilot, Pulse, Waiting};
use trainer_box::{CheckedPlan, DEAD_MAN, Desk, Entry, Outlet, Side, Step, TrainerBox, What};

static PLAN: LazyLock<CheckedPlan<4, 8, 8>> = LazyLock::new(|| plans::plan().check().expect("a plan that is in order"));

const INSTRUCTOR: [u16; 8] = [1_500, 1_500, 1_000, 1_500, 1_111, 1_222, 1_333, 1_444];
const STUDENT: [u16; 8] = [1_700, 1_300, 1_400, 1_600, 1_500, 1_500, 1_500, 1_500];

/// A transmitter that sends the same frame again and again.
struct Transmitter {
    side: Side,
    train: Encoder<8>,
    next: Option<Edge>,
}

impl Transmitter {
    fn new(side: Side, start: u32, widths: [u16; 8]) -> Self {
        let mut train = EncoderSetup::new(Level::High).check().expect("a set-up that is in order");
        assert!(train.start(Instant::from_ticks(start), &widths.map(|us| Pulse::from_micros(us.into()))).is_empty());
        let next = train.next_edge();
        Self { side, train, next }
    }

    fn sends(&mut self, widths: [u16; 8]) {
        assert!(self.train.send(&widths.map(|us| Pulse::from_micros(us.into()))).is_empty());
    }
}

/// A lesson in steps of a millisecond.
struct Lesson {
    now: u32,
    trainer_box: TrainerBox<'static, 4, 8, 8>,
    outlet: Outlet<8>,
    instructor: Transmitter,
    student: Transmitter,
    alarm: Option<Edge>,
    /// The edges that went out to the craft.
    sent: Vec<Edge>,
    desk: Desk,
}

impl Lesson {
    fn new() -> Self {
        Self {
            now: 0,
            trainer_box: TrainerBox::new(&PLAN, Instant::from_ticks(0)),
            outlet: Outlet::new(&PLAN),
            instructor: Transmitter::new(Side::Instructor, 5_000, INSTRUCTOR),
            student: Transmitter::new(Side::Student, 9_000, STUDENT),
            alarm: None,
            sent: Vec::new(),
            desk: Desk::default(),
        }
    }

    /// The box is reset; transmitters and people continue.
    fn reset(&mut self) {
        let lesson = Self::new();
        (self.trainer_box, self.outlet, self.alarm) = (lesson.trainer_box, lesson.outlet, None);
    }

    fn until(at: Option<Edge>, now: u32) -> bool {
        at.is_some_and(|edge| edge.at.as_ticks() <= now)
    }

    fn timer(&mut self) {
        while Self::until(self.alarm, self.now) {
            self.sent.extend(self.alarm);
            self.alarm = self.outlet.next_edge();
        }
    }

    fn step(&mut self) -> Step<4, 8> {
        self.now += 1_000;
        for transmitter in [&mut self.instructor, &mut self.student] {
            while Self::until(transmitter.next, self.now) {
                self.trainer_box.edge(transmitter.side, transmitter.next.expect("it is due"));
                transmitter.next = transmitter.train.next_edge();
            }
        }
        self.timer();
        let now = Instant::from_ticks(self.now);
        let step = self.trainer_box.step(now, self.desk);
        self.alarm = self.outlet.send(now, step.pulses.as_ref()).or(self.alarm);
        step
    }

    fn ms(&mut self, ms: u32) -> Step<4, 8> {
        let mut last = self.step();
        for _ in 1..ms {
            last = self.step();
        }
        last
    }

    fn pass(&mut self, ms: u32) {
        let _ = self.ms(ms);
    }

    /// Turns the switch off, then on, and waits until the student flies.
    fn hand_over(&mut self) -> Step<4, 8> {
        self.desk.lesson_switch = false;
        self.pass(100);
        self.desk.lesson_switch = true;
        self.ms(1_800)
    }

    fn entries(&mut self) -> Vec<What> {
        std::iter::from_fn(|| self.trainer_box.next_entry()).map(|Entry { what, .. }| what).collect()
    }
}

fn us(step: &Step<4, 8>) -> Option<[u16; 8]> {
    step.pulses.map(|pulses| pulses.map(Pulse::to_micros))
}

/// Given a new box, when the instructor's train begins, then nothing is sent to the craft before its first good frame,
/// and then what the instructor sends (S1, I2).
#[test]
fn the_craft_gets_nothing_before_the_instructors_first_frame() {
    let mut lesson = Lesson::new();
    assert_eq!(us(&lesson.ms(40)), None);
    assert_eq!(us(&lesson.ms(40)), Some(INSTRUCTOR));
    lesson.pass(40);
    assert_eq!(lesson.entries(), [What::Started, What::TrainBegins]);
    // Edge 18 begins the second frame, after the 9 separators of the first; frames are 22.5 ms apart.
    assert_eq!(lesson.sent[18].at.as_ticks() - lesson.sent[0].at.as_ticks(), 22_500);
}

/// Given a switch that is on, when the box starts, or is reset in mid-lesson, then nothing is handed over until the
/// switch has been off (S2).
#[test]
fn a_reset_in_mid_lesson_needs_the_switch_off_first() {
    let mut lesson = Lesson::new();
    lesson.desk.lesson_switch = true;
    assert_eq!(lesson.ms(3_000).outcome.waiting, Some(Waiting::SwitchOffFirst));
    let flown = lesson.hand_over();
    assert!(matches!(flown.outcome.pilot, Pilot::Student(_)));
    let [axes, others] = [0..4, 4..8];
    let sent = us(&flown).expect("the student flies");
    assert_eq!(sent[axes.clone()], STUDENT[axes]);
    assert_eq!(sent[others.clone()], INSTRUCTOR[others], "a gear switch stays the instructor's");

    lesson.reset();
    assert_eq!(lesson.step().outcome.pilot, Pilot::Nobody);
    let later = lesson.ms(3_000).outcome;
    assert_eq!((later.pilot, later.waiting), (Pilot::Instructor, Some(Waiting::SwitchOffFirst)));
}

/// Given a student who flies, when the instructor moves a stick, then the instructor's sticks are sent from the step
/// on that completes the frame (T2).
#[test]
fn a_stick_takes_the_craft_in_the_step_that_completes_its_frame() {
    let mut lesson = Lesson::new();
    let _ = lesson.hand_over();
    let moved = [1_530, 1_500, 1_000, 1_500, 1_111, 1_222, 1_333, 1_444];
    lesson.instructor.sends(moved);
    let good = lesson.trainer_box.tally(Side::Instructor).good;
    let mut flown = lesson.step();
    while us(&flown).map(|us| us[0]) != Some(1_530) {
        assert!(matches!(flown.outcome.pilot, Pilot::Student(_)));
        flown = lesson.step();
    }
    assert_eq!(flown.outcome.pilot, Pilot::Instructor);
    // At most the frame that was being sent came before it.
    assert!(lesson.trainer_box.tally(Side::Instructor).good - good <= 2);
}

/// Given an instructor's train that ends, when nobody flies, then no pulses are sent; they come back with the
/// instructor (I2).
#[test]
fn pulses_stop_while_nobody_flies_and_come_back() {
    let mut lesson = Lesson::new();
    lesson.pass(200);
    let next = lesson.instructor.next.take();
    assert_eq!(us(&lesson.ms(1_200)), None);
    let before = lesson.sent.len();
    lesson.pass(500);
    assert_eq!(lesson.sent.len(), before, "no edge goes out");
    // The transmitter is switched on again.
    lesson.instructor = Transmitter::new(Side::Instructor, lesson.now + 1_000, INSTRUCTOR);
    assert!(next.is_some() && us(&lesson.ms(100)).is_some());
    assert!(lesson.sent.len() > before);
    let told = lesson.entries();
    assert!(told.contains(&What::TrainStops) && told.last() == Some(&What::TrainBegins), "{told:?}");
}

/// Given a loop that hangs, when the dead-man time has passed, then the train ends without it.
#[test]
fn a_loop_that_hangs_ends_the_train_by_itself() {
    let mut lesson = Lesson::new();
    lesson.pass(200);
    let hung = lesson.now;
    lesson.now += 300_000;
    lesson.timer();
    let last = lesson.sent.last().expect("edges went out").at.as_ticks();
    assert!(last - hung > 90_000 && last - hung < DEAD_MAN.as_ticks() + 22_500 + 22_500, "{} us", last - hung);
    // When the loop runs again, the line has rested for the gap and the train goes on.
    let before = lesson.sent.len();
    lesson.pass(60);
    assert!(lesson.sent[before].at.as_ticks() - last >= 3_000);
}

/// Given a timer that hangs, when its next edge is overdue, then the outlet no longer counts as alive, so that the
/// watchdog is not fed.
#[test]
fn a_timer_that_hangs_keeps_the_watchdog_hungry() {
    let mut lesson = Lesson::new();
    lesson.pass(200);
    assert!(lesson.outlet.is_alive(Instant::from_ticks(lesson.now)));
    let overdue = Duration::from_millis(60).as_ticks();
    assert!(!lesson.outlet.is_alive(Instant::from_ticks(lesson.now + overdue)));
    assert!(Outlet::new(&PLAN).is_alive(Instant::from_ticks(4_000_000_000)), "no train, nothing to wait for");
}

/// Given the trains of both transmitters, when they are read from the box, then they are as they were sent.
#[test]
fn the_received_trains_can_be_read_to_set_the_box_up() {
    let mut lesson = Lesson::new();
    assert_eq!(lesson.trainer_box.trains(), (None, None));
    lesson.pass(100);
    let [instructor, student] = [INSTRUCTOR, STUDENT].map(|train| train.map(|us| Pulse::from_micros(us.into())));
    assert_eq!(lesson.trainer_box.trains(), (Some(&instructor), Some(&student)));
}
