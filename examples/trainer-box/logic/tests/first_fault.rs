//! The faults of a first power-up: found by the box, and told by lamp and beeper.

mod plans;

use std::sync::LazyLock;

use handback::cue::{Cue, Signs};
use handback::ppm::{Edge, Encoder, EncoderSetup, Level};
use handback::{Instant, Pulse};
use trainer_box::{CheckedPlan, Desk, FirstFault, FirstFaultKind, MOST_CHANNELS, Notice, Side, TrainerBox};

type BoxPlan = CheckedPlan<4, MOST_CHANNELS, MOST_CHANNELS>;

/// Eight channels with high separators on both sides.
static PLAN: LazyLock<BoxPlan> = LazyLock::new(|| plans::plan().check().expect("in order"));

/// A box and the trains that reach it.
struct Bench {
    now: u32,
    trainer_box: TrainerBox<'static, 4, MOST_CHANNELS, MOST_CHANNELS>,
    notice: Notice,
    desk: Desk,
    trains: Vec<(Side, Encoder<MOST_CHANNELS>, Option<Edge>)>,
}

impl Bench {
    fn new() -> Self {
        let now = Instant::from_ticks(0);
        let (trainer_box, notice) = (TrainerBox::new(&PLAN, now), Notice::new(now, false));
        Self { now: 0, trainer_box, notice, desk: Desk::default(), trains: Vec::new() }
    }

    /// Plugs in a transmitter. Its aileron is on channel 0.
    fn with(mut self, side: Side, separators: Level, channels: u8, aileron: u16) -> Self {
        let mut setup = EncoderSetup::new(separators);
        (setup.channels, setup.longest) = (Some(channels), Pulse::from_micros(2_290));
        setup.frame_length = handback::Duration::from_micros(30_000);
        let mut train: Encoder<MOST_CHANNELS> = setup.check().expect("in order");
        let mut widths = [Pulse::from_micros(1_500); MOST_CHANNELS];
        widths[0] = Pulse::from_micros(aileron.into());
        assert!(train.start(Instant::from_ticks(self.now + 5_000), &widths).is_empty());
        let next = train.next_edge();
        self.trains.retain(|(of, ..)| *of != side);
        self.trains.push((side, train, next));
        self
    }

    fn good(self, side: Side) -> Self {
        self.with(side, Level::High, 8, 1_500)
    }

    /// Lets this many milliseconds pass; the lengths of all pulses of the lamp in milliseconds.
    fn ms(&mut self, ms: u32) -> Vec<u32> {
        let (mut pulses, mut was) = (Vec::new(), false);
        for _ in 0..ms {
            self.now += 1_000;
            let now = Instant::from_ticks(self.now);
            for (side, train, next) in &mut self.trains {
                while let Some(edge) = next.filter(|edge| edge.at.as_ticks() <= self.now) {
                    self.trainer_box.edge(*side, edge);
                    *next = train.next_edge();
                }
            }
            let step = self.trainer_box.step(now, self.desk);
            let signs = self.notice.over(now, step.signs, self.trainer_box.first_fault());
            assert_eq!(signs.lamp, signs.beeper);
            match pulses.last_mut() {
                Some(last) if signs.lamp && was => *last += 1,
                _ if signs.lamp => pulses.push(1),
                _ => {}
            }
            was = signs.lamp;
        }
        pulses
    }
}

/// The pulses of a sign.
fn sign(very_long: usize, short: usize) -> Vec<u32> {
    [vec![1_200; very_long], vec![150; short]].concat()
}

/// Given a fault of one of the trains, when the box is powered on, then it finds the fault and tells it by the sign of
/// the table, and no other.
#[test]
fn every_first_fault_is_found_and_told() {
    use FirstFaultKind::{NoTrain, OutOfRange, WrongCount, WrongLevel};
    let sides = [(Side::Instructor, Side::Student, 1), (Side::Student, Side::Instructor, 2)];
    for (side, other, very_long) in sides {
        for (kind, train, short) in [
            (NoTrain, None, 1),
            (WrongLevel, Some((Level::Low, 8, 1_500)), 2),
            (WrongCount, Some((Level::High, 6, 1_500)), 3),
            (WrongCount, Some((Level::High, 9, 1_500)), 3),
            (OutOfRange, Some((Level::High, 8, 2_280)), 4),
        ] {
            let mut bench = Bench::new().good(other);
            match train {
                Some((separators, channels, aileron)) => bench = bench.with(side, separators, channels, aileron),
                None => bench.desk.lesson_switch = true,
            }
            let pulses = bench.ms(9_500);
            assert_eq!(bench.trainer_box.first_fault(), Some(FirstFault { side, kind }));
            assert_eq!(pulses, sign(very_long, short), "{side:?} {kind:?}");
        }
    }
}

/// Given two good trains, and a student's that is not there while the switch is off, when a minute passes, then there is
/// no sign.
#[test]
fn a_box_without_a_fault_shows_no_sign() {
    let mut both = Bench::new().good(Side::Instructor).good(Side::Student);
    assert!(both.ms(60_000).is_empty());
    let mut alone = Bench::new().good(Side::Instructor);
    assert!(alone.ms(60_000).is_empty());
    assert_eq!(alone.trainer_box.first_fault(), None);
}

/// Given a fault, when its cause is removed, then the sign ends; a train that was good once is never missed again.
#[test]
fn a_sign_ends_with_its_fault() {
    let mut bench = Bench::new().good(Side::Student);
    assert!(!bench.ms(15_000).is_empty());
    let mut bench = bench.with(Side::Instructor, Level::Low, 8, 1_500);
    let _ = bench.ms(10_000);
    assert_eq!(bench.trainer_box.first_fault().map(|fault| fault.kind), Some(FirstFaultKind::WrongLevel));
    let mut bench = bench.with(Side::Instructor, Level::High, 8, 2_280);
    let _ = bench.ms(10_000);
    assert_eq!(bench.trainer_box.first_fault().map(|fault| fault.kind), Some(FirstFaultKind::OutOfRange));
    let mut bench = bench.good(Side::Instructor);
    let _ = bench.ms(10_000);
    assert_eq!(bench.trainer_box.first_fault(), None);
    bench.trains.clear();
    let _ = bench.ms(10_000);
    assert_eq!(bench.trainer_box.first_fault(), None, "the cues tell it");
}

/// Given every fault of the student's transmitter, when the box runs, then the instructor's pulses are those without it.
#[test]
fn a_fault_of_the_student_changes_nothing_for_the_craft() {
    let pulses = |mut bench: Bench| {
        let (mut said, none) = (Vec::new(), Vec::new());
        for _ in 0..200 {
            let _ = bench.ms(50);
            said.push(bench.trainer_box.step(Instant::from_ticks(bench.now), bench.desk).pulses);
        }
        if bench.trainer_box.first_fault().is_some() { said } else { none }
    };
    let instructor = || Bench::new().good(Side::Instructor);
    let wrong = pulses(instructor().with(Side::Student, Level::Low, 8, 1_500));
    assert!(wrong == pulses(instructor().with(Side::Student, Level::High, 5, 1_500)));
    assert!(wrong == pulses(instructor().with(Side::Student, Level::High, 8, 2_280)));
    assert!(wrong.iter().skip(10).all(Option::is_some));
}

/// Given a box whose stored plan was refused and that has a fault, when time passes, then both signs take turns; a cue
/// breaks a sign off.
#[test]
fn a_refused_plan_and_a_fault_take_turns() {
    let mut notice = Notice::new(Instant::from_ticks(0), true);
    let fault = Some(FirstFault { side: Side::Student, kind: FirstFaultKind::WrongLevel });
    let mut begins = Vec::new();
    let mut was = false;
    let cue = Signs { lamp: true, ..Signs::default() };
    for ms in 1..=30_000 {
        let signs = if (4_500..4_600).contains(&ms) { cue } else { Signs::default() };
        let on = notice.over(Instant::from_ticks(ms * 1_000), signs, fault).lamp;
        if on != was {
            begins.push((ms, on));
        }
        was = on;
    }
    let lengths: Vec<u32> = begins.chunks(2).filter_map(|pair| Some(pair.get(1)?.0 - pair[0].0)).collect();
    // The first sign became the cue, which ended it: 4.0 s to 4.6 s.
    let [first, rest @ ..] = &lengths[..] else { panic!("{lengths:?}") };
    assert!((598..=600).contains(first), "{first}");
    assert_eq!(rest, [sign(2, 2), sign(1, 0), sign(2, 2)].concat());
}

/// Given every default rhythm, when it is compared with the signs, then its longest pulse is at most half as long as the
/// first of a sign.
#[test]
fn no_cue_begins_like_a_sign() {
    let rhythms = Cue::ALL.map(Cue::rhythm);
    assert!(rhythms.iter().all(|rhythm| rhythm.pulses() > 0));
    for rhythm in rhythms {
        let longest = rhythm.lengths().iter().step_by(2).copied().max();
        assert!(longest.is_some_and(|ms| ms <= 600), "{rhythm:?}");
    }
}
