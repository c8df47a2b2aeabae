//! The box learns two transmitters by itself: pilots do what lamp and beeper ask, or do it wrong.

use handback::calibrate::Prompt;
use handback::ppm::{Edge, Encoder, EncoderSetup, Level};
use handback::{Deflection, Instant, Pulse};
use seeded::Random;
use trainer_box::{MOST_CHANNELS, Plan, Side};
use trainer_box_learn::{Ask, Pitch};
use trainer_box_rig::plan::{AS_WRITTEN, AXES, Start};
use trainer_box_rig::{Command, FLASH_BYTES, Flash, Hand, Rig};
use trainer_box_store::{AtStart, Slots, at_start};

type BoxPlan = Plan<AXES, MOST_CHANNELS, MOST_CHANNELS>;

/// Neither transmitter is that of the plan with which the box starts.
const FORMATS: [(Level, u8); 2] = [(Level::Low, 7), (Level::High, 5)];

/// The channel of each stick, whether it is reversed, its centre and its travel, for the instructor and the student.
const STICKS: [[(usize, bool, f64, f64); AXES]; 2] = [
    [(1, false, 1500.0, 500.0), (2, true, 1505.0, 500.0), (0, false, 1500.0, 500.0), (3, false, 1500.0, 490.0)],
    [(0, true, 1492.0, 400.0), (1, false, 1510.0, 450.0), (2, false, 1500.0, 500.0), (3, false, 1500.0, 500.0)],
];

/// A pulse of the beeper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Beep {
    at: u32,
    ms: u32,
    pitch: Pitch,
}

/// A box on the bench, with transmitters that are still off.
struct Bench {
    rig: Rig<'static>,
    trains: Vec<(Side, Encoder<MOST_CHANNELS>, Option<Edge>)>,
    at: [[f64; AXES]; 2],
    hand: Hand,
    /// Milliseconds since the start.
    now: u32,
    beeps: Vec<Beep>,
    beeped: bool,
    /// Whether pulses went to the craft in the last millisecond.
    sends: bool,
    random: Random,
    /// What was asked last, and since when.
    asked: (Option<Ask>, u32),
}

impl Bench {
    fn off_the_bench() -> Self {
        let memory = Box::leak(Box::new(trainer_box_rig::Memory::new()));
        let flash = Box::leak(Box::new([u8::MAX; FLASH_BYTES]));
        Self {
            rig: Rig::new(&Start::Nothing).with_wire(memory, Slots::new(Flash::new(flash), 0)),
            trains: Vec::new(),
            at: [[0.0; AXES]; 2],
            hand: Hand::default(),
            now: 0,
            beeps: Vec::new(),
            beeped: false,
            sends: false,
            random: Random::stream(3, 3),
            asked: (None, 0),
        }
    }

    /// The button is held for two seconds from the start, and let go.
    fn new() -> Self {
        let mut bench = Self::off_the_bench();
        bench.hand.instructor_now = true;
        bench.ms(2_200);
        bench.hand.instructor_now = false;
        bench.ms(4_000);
        bench
    }

    fn presses(&mut self, count: u32) {
        for _ in 0..count {
            self.hand.instructor_now = true;
            self.ms(300);
            self.hand.instructor_now = false;
            self.ms(300);
        }
    }

    fn transmitters_on(&mut self) {
        for (side, (separators, channels)) in [Side::Instructor, Side::Student].into_iter().zip(FORMATS) {
            let mut setup = EncoderSetup::new(separators);
            (setup.channels, setup.frame_length) = (Some(channels), handback::Duration::from_micros(22_000));
            let mut train: Encoder<MOST_CHANNELS> = setup.check().expect("in order");
            let start = Instant::from_ticks(self.now * 1_000 + 5_000);
            assert!(train.start(start, &self.widths(usize::from(side == Side::Student))).is_empty());
            let next = train.next_edge();
            self.trains.push((side, train, next));
        }
    }

    fn widths(&mut self, side: usize) -> [Pulse; MOST_CHANNELS] {
        let mut widths = [Pulse::from_micros(1_500); MOST_CHANNELS];
        for ((channel, reversed, centre, travel), at) in STICKS[side].into_iter().zip(self.at[side]) {
            let at = if reversed { -at } else { at };
            let width = centre + at * travel + 2.0 * self.random.normal();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a width
            let sixteenths = (width * 16.0).round() as u16;
            widths[channel] = Pulse::from_bits(sixteenths);
        }
        widths
    }

    fn ms(&mut self, ms: u32) {
        for _ in 0..ms {
            self.now += 1;
            for of in 0..self.trains.len() {
                let side = self.trains[of].0;
                let widths = self.widths(usize::from(side == Side::Student));
                let (_, train, next) = &mut self.trains[of];
                assert!(train.send(&widths).is_empty());
                while let Some(edge) = next.filter(|edge| edge.at.as_ticks() <= self.now * 1_000) {
                    assert!(self.rig.obey(Command::Edge(side, edge)).is_none());
                    *next = train.next_edge();
                }
            }
            let now = Instant::from_ticks(self.now * 1_000);
            let report = self.rig.obey(Command::Step(now, self.hand)).expect("an answer");
            let step = report.step.expect("a step");
            self.sends = step.said.pulses.is_some();
            let pitch = self.rig.learns().1;
            assert_eq!(step.lamp, step.beeper > 0);
            match self.beeps.last_mut() {
                Some(last) if step.lamp && self.beeped && last.pitch == pitch => last.ms += 1,
                _ if step.lamp => self.beeps.push(Beep { at: self.now, ms: 1, pitch }),
                _ => {}
            }
            self.beeped = step.lamp;
        }
    }

    fn asks(&self) -> Option<Ask> {
        self.rig.learns().0
    }

    /// The pulses that the beeper has made since then, by pitch and milliseconds.
    fn heard(&self, since: u32) -> Vec<(Pitch, u32)> {
        self.beeps.iter().filter(|beep| beep.at > since).map(|beep| (beep.pitch, beep.ms)).collect()
    }

    /// How often the one low pulse was heard that says that something was wrong.
    fn told_wrong(&self) -> usize {
        self.beeps.iter().filter(|beep| beep.pitch == Pitch::Low && beep.ms >= 690).count()
    }

    /// The sticks of everyone do what is asked, a second and a half later.
    fn follow(&mut self) {
        let Some(ask) = self.asks() else { return };
        self.at = [[0.0; AXES]; 2];
        if Some(ask) != self.asked.0 {
            self.asked = (Some(ask), self.now);
        }
        if self.now - self.asked.1 < 1_500 {
            return;
        }
        let (side, at) = match ask {
            Ask::Alone { side, axis } => {
                let mut at = [0.0; AXES];
                at[usize::from(axis)] = 0.9;
                (side, at)
            }
            Ask::All { side, prompt } => {
                let sweep = f64::from((self.now / 20 % 80).cast_signed() - 40).abs() / 20.0 - 1.0;
                let at = match prompt {
                    Prompt::TopRight => 1.0,
                    Prompt::BottomLeft => -1.0,
                    Prompt::Stir => sweep,
                    _ => 0.0,
                };
                (side, [at; AXES])
            }
            _ => return,
        };
        self.at[usize::from(side == Side::Student)] = at;
    }

    /// Follows until this is asked for, or until the box asks for nothing. Says whether it was.
    fn follow_until(&mut self, wanted: impl Fn(Ask) -> bool) -> bool {
        for _ in 0..400_000 {
            match self.asks() {
                None => return false,
                Some(ask) if wanted(ask) => return true,
                Some(_) => {}
            }
            self.follow();
            self.ms(1);
        }
        panic!("no end: {:?}", self.asks());
    }

    /// Moves the instructor's sticks so for this time, and lets them go.
    fn wrongly(&mut self, at: [f64; AXES], ms: u32) {
        self.at = [at, [0.0; AXES]];
        self.ms(ms);
        self.at = [[0.0; AXES]; 2];
        self.ms(300);
    }

    /// A box that has begun to learn, with both transmitters on.
    fn learning() -> Self {
        let mut bench = Self::new();
        bench.presses(3);
        assert_eq!(bench.asks(), Some(Ask::Trains));
        bench.transmitters_on();
        bench
    }

    /// What the flash holds when the power is cut now.
    fn stored(self) -> Option<BoxPlan> {
        let flash = self.rig.release().expect("a flash");
        match at_start(&mut Slots::new(flash, 0)) {
            AtStart::Plan(plan) => Some(plan.plan()),
            AtStart::Nothing => None,
            AtStart::Refused(why) => panic!("{why}"),
        }
    }
}

/// The plan is that of `STICKS`.
fn is_learnt(plan: &BoxPlan) {
    let trains = [plan.instructor_train, plan.student_train].map(|train| (train.separators, train.channels));
    assert_eq!(trains, FORMATS.map(|(separators, channels)| (separators, Some(channels))));
    for (sticks, channels) in STICKS.iter().zip([plan.instructor.axes, plan.student.axes]) {
        for (&(number, reversed, ..), channel) in sticks.iter().zip(channels) {
            let channel = channel.expect("a channel");
            assert_eq!((usize::from(channel.number), channel.reversed), (number, reversed));
        }
    }
    let centre = plan.student.axes[0].expect("a channel").centre;
    assert!(centre.to_bits().abs_diff(1_492 * 16) < 16, "{centre:?}");
    assert_eq!(plan.names, AS_WRITTEN.names);
    let engage = plan.policy.axes[0].engage;
    assert!(Deflection::from_points(1) <= engage && engage < Deflection::from_points(4), "{engage}");
}

/// Given pilots who do what is asked, when three presses of the button begin it, then the box learns both transmitters,
/// stores the plan, says so, and sends nothing to the craft meanwhile; the plan is in force at the next start.
#[test]
fn the_box_alone_learns_and_stores_a_plan() {
    let mut bench = Bench::learning();
    let begun = bench.now;
    while bench.asks().is_some() {
        assert!(!bench.sends);
        bench.follow();
        bench.ms(1);
    }
    let ended = bench.now;
    bench.ms(4_000);
    let high: Vec<_> = bench.heard(ended).into_iter().filter(|&(pitch, _)| pitch == Pitch::High).collect();
    assert!(high.ends_with(&[(Pitch::High, 60); 8]), "{high:?}");
    assert_eq!(bench.told_wrong(), 0);
    // Both trains; then for each side four sticks, and six movements of all.
    let heard = bench.heard(begun);
    let rising = heard.windows(3).filter(|three| {
        three.iter().map(|beep| beep.0).eq([Pitch::Low, Pitch::Middle, Pitch::High]) && three[0].1 == 120
    });
    let rising = rising.count();
    assert_eq!(rising, 21);
    assert!(!bench.sends);
    is_learnt(&bench.stored().expect("stored"));
}

/// Given the instructor's first stick, the second, and the rest, when they are asked for, then it is by one short beep,
/// by two, and by a long one and a short one.
#[test]
fn each_step_is_told_by_a_number_of_beeps() {
    let told = |wanted: Ask| {
        let mut bench = Bench::learning();
        assert!(bench.follow_until(|ask| ask == wanted));
        let since = bench.now;
        bench.at = [[0.0; AXES]; 2];
        bench.ms(20_000);
        // The first repeat: after a silence of three seconds, and before another.
        let beeps: Vec<_> = bench.beeps.into_iter().filter(|beep| beep.at > since).collect();
        let groups = beeps.chunk_by(|one, next| next.at - one.at - one.ms < 3_000);
        groups.skip(1).map(|beeps| beeps.iter().map(|beep| (beep.pitch, beep.ms)).collect::<Vec<_>>()).next()
    };
    let side = Side::Instructor;
    for (ask, once) in [
        (Ask::Alone { side, axis: 0 }, vec![150]),
        (Ask::Alone { side, axis: 1 }, vec![150, 150]),
        (Ask::All { side, prompt: Prompt::HandsOff }, vec![500, 150]),
        (Ask::All { side, prompt: Prompt::TopRight }, vec![500, 150, 150]),
    ] {
        let once: Vec<_> = once.into_iter().map(|ms| (Pitch::Middle, ms)).collect();
        assert_eq!(told(ask), Some(once), "{ask:?}");
    }
}

/// Given each wrong movement, when it is made, then the box says so by one low beep and asks again, and the plan is that
/// of pilots who do it right.
#[test]
fn a_wrong_movement_is_told_low_and_asked_again() {
    let side = Side::Instructor;
    let mut bench = Bench::learning();
    let mut told = 0;
    for (ask, at, ms) in [
        (Ask::Alone { side, axis: 0 }, [0.9, 0.5, 0.0, 0.0], 700),
        (Ask::Alone { side, axis: 1 }, [0.9, 0.0, 0.0, 0.0], 700),
        (Ask::All { side, prompt: Prompt::HandsOff }, [0.0, 0.6, 0.0, 0.0], 700),
        (Ask::All { side, prompt: Prompt::TopRight }, [0.0, 0.0, 0.0, -0.9], 700),
    ] {
        assert!(bench.follow_until(|asked| asked == ask));
        if ask == (Ask::All { side, prompt: Prompt::HandsOff }) {
            bench.ms(10_000);
        }
        bench.wrongly(at, ms);
        bench.ms(3_000);
        told += 1;
        assert_eq!(bench.told_wrong(), told, "{ask:?}");
        assert!(bench.follow_until(|asked| asked == ask), "it is asked again");
    }
    assert!(!bench.follow_until(|_| false));
    bench.ms(1_000);
    is_learnt(&bench.stored().expect("stored"));
}

/// Given a sequence that is half done, when the button is held, the switch is moved, a train stops or nobody moves, then
/// nothing is stored, three low beeps say so, and the check of the bench waits again.
#[test]
fn a_sequence_that_is_ended_stores_nothing() {
    let side = Side::Instructor;
    let student = Side::Student;
    for place in [Ask::Alone { side, axis: 2 }, Ask::All { side: student, prompt: Prompt::Stir }] {
        for how in 0..4 {
            let mut bench = Bench::learning();
            assert!(bench.follow_until(|ask| ask == place));
            let since = bench.now;
            match how {
                0 => bench.hand.instructor_now = true,
                1 => bench.hand.lesson_switch = true,
                2 => bench.trains.truncate(1),
                _ => {
                    bench.at = [[0.0; AXES]; 2];
                    bench.ms(150_000);
                }
            }
            bench.ms(2_500);
            assert_eq!(bench.asks(), None, "{place:?} {how}");
            bench.hand = Hand::default();
            bench.ms(5_000);
            let low = bench.heard(since).into_iter().filter(|&beep| beep == (Pitch::Low, 700)).count();
            assert_eq!(low, 3, "{place:?} {how}");
            let since = bench.now;
            bench.ms(6_000);
            // Three beats, or the obstacle to its start.
            let heard = bench.heard(since);
            assert!(
                heard.iter().any(|&(_, ms)| (200..=250).contains(&ms) || ms == 1_200),
                "the check waits: {heard:?}"
            );
            assert_eq!(bench.stored(), None, "{place:?} {how}");
        }
    }
}

/// Given a power cut at any step before the last, when the box starts again, then it has the plan that it had.
#[test]
fn a_power_cut_in_the_sequence_stores_nothing() {
    for steps in (0..24).step_by(4) {
        let mut bench = Bench::learning();
        let (mut asked, mut left) = (bench.asks(), steps);
        while bench.asks().is_some() && left > 0 {
            bench.follow();
            bench.ms(1);
            if bench.asks() != asked {
                (asked, left) = (bench.asks(), left - 1);
            }
        }
        assert!(asked.is_some());
        assert_eq!(bench.stored(), None);
    }
}

/// Given a box that is not on the bench, or whose switch is on, or two presses alone, when the button is pressed, then
/// it does not learn.
#[test]
fn three_presses_on_the_bench_alone_begin_it() {
    let mut flying = Bench::off_the_bench();
    flying.ms(500);
    flying.presses(3);
    assert_eq!(flying.asks(), None);
    let mut twice = Bench::new();
    twice.presses(2);
    twice.ms(4_000);
    twice.presses(1);
    assert_eq!(twice.asks(), None);
    let mut switched = Bench::new();
    switched.hand.lesson_switch = true;
    switched.presses(3);
    assert_eq!(switched.asks(), None);
    let mut thrice = Bench::new();
    thrice.presses(3);
    assert_eq!(thrice.asks(), Some(Ask::Trains));
}
