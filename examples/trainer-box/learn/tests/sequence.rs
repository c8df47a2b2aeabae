//! The sequence with simulated pilots, frame by frame, for one axis and for eight.

use handback::calibrate::{Prompt, Refusal};
use handback::cue::CueRules;
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, Channels, Deflection, Instant, Policy, Pulse};
use seeded::Random;
use trainer_box::{AxisName, Format, MOST_CHANNELS, Plan, Side};
use trainer_box_learn::{Ask, End, Learning, Wrong};

const FORMATS: [Format; 2] =
    [Format { separators: Level::Low, channels: 12 }, Format { separators: Level::High, channels: 9 }];
const NAMES: [&str; 8] = ["aileron", "elevator", "throttle", "rudder", "flap", "spoiler", "tilt", "pan"];

/// Axis 2 has no spring, where there is one.
fn plan<const N: usize>() -> Plan<N, MOST_CHANNELS, MOST_CHANNELS> {
    let mut policy = Policy::new([AxisRule::sprung(); N]);
    if let Some(throttle) = policy.axes.get_mut(2) {
        *throttle = AxisRule::unsprung(Deflection::from_points(-100));
    }
    let mut student = Channels::pulses();
    student.axes[0].as_mut().expect("a channel").rate = Deflection::from_points(60);
    let mut plan = Plan {
        names: std::array::from_fn(|axis| AxisName::new(NAMES[axis])),
        policy,
        instructor: Channels::pulses(),
        student,
        craft: Channels::pulses(),
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::High),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.craft_train.frame_length = handback::Duration::from_millis(50);
    plan
}

/// The channel of an axis: the instructor's backwards from the last but one, the student's forwards from the first.
fn channel(side: Side, axis: usize) -> usize {
    if side == Side::Instructor { 10 - axis } else { axis }
}

/// Odd axes of the instructor are reversed, even ones of the student.
fn is_reversed(side: Side, axis: usize) -> bool {
    (side == Side::Instructor) == (axis % 2 == 1)
}

struct Pilots<const N: usize> {
    learning: Learning<N>,
    random: Random,
    frame: u32,
    noise: f64,
    wrong: Vec<Wrong>,
}

impl<const N: usize> Pilots<N> {
    fn new(noise: f64) -> Self {
        Self { learning: Learning::new(plan()), random: Random::stream(1, 1), frame: 0, noise, wrong: Vec::new() }
    }

    /// Sends a frame of both sides with the sticks of the side that is asked at these places.
    fn frame(&mut self, at: [f64; N]) {
        self.frame += 1;
        let asked = match self.learning.ask() {
            Ask::Middle { side } | Ask::Alone { side, .. } | Ask::Back { side, .. } | Ask::All { side, .. } => side,
            _ => Side::Instructor,
        };
        for (side, format) in [Side::Instructor, Side::Student].into_iter().zip(FORMATS) {
            let mut train = [Pulse::from_micros(1_500); MOST_CHANNELS];
            for (axis, at) in at.into_iter().enumerate() {
                let at = if side == asked { at } else { 0.0 };
                let at = if is_reversed(side, axis) { -at } else { at };
                let width = 1_500.0 + at * 480.0 + self.noise * self.random.normal();
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a width
                let sixteenths = (width * 16.0).round() as u16;
                train[channel(side, axis)] = Pulse::from_bits(sixteenths);
            }
            let step = self.learning.take(Instant::from_ticks(self.frame * 20_000), side, format, &train);
            self.wrong.extend(step.wrong);
        }
    }

    /// What is asked for.
    fn right(&self) -> [f64; N] {
        let mut at = [0.0; N];
        match self.learning.ask() {
            Ask::Alone { axis, .. } => at[usize::from(axis)] = 0.9,
            Ask::All { prompt: Prompt::TopRight, .. } => at = [1.0; N],
            Ask::All { prompt: Prompt::BottomLeft, .. } => at = [-1.0; N],
            Ask::All { prompt: Prompt::Stir, .. } => {
                at = [f64::from((self.frame % 80).cast_signed() - 40).abs() / 20.0 - 1.0; N];
            }
            _ => {}
        }
        at
    }

    fn until(&mut self, wanted: impl Fn(Ask) -> bool) {
        for _ in 0..40_000 {
            if wanted(self.learning.ask()) {
                return;
            }
            self.frame(self.right());
        }
        panic!("no end: {:?}", self.learning.ask());
    }
}

fn is_over(ask: Ask) -> bool {
    matches!(ask, Ask::Done | Ask::Ended(_))
}

fn learns<const N: usize>() {
    let mut pilots = Pilots::<N>::new(1.5);
    pilots.until(is_over);
    let plan = pilots.learning.plan().unwrap_or_else(|| panic!("{:?}", pilots.learning.ask()));
    assert!(pilots.wrong.is_empty());
    for (side, channels) in [(Side::Instructor, plan.instructor.axes), (Side::Student, plan.student.axes)] {
        for (axis, found) in channels.into_iter().enumerate() {
            let found = found.expect("a channel");
            let told = (usize::from(found.number), found.reversed);
            assert_eq!(told, (channel(side, axis), is_reversed(side, axis)), "{side:?} {axis}");
        }
    }
    assert_eq!(plan.student.axes[0].expect("a channel").rate, Deflection::from_points(60), "its rate stays");
    assert_eq!(plan.craft_train.channels, Some(12));
    assert!(plan.check().is_ok());
}

/// Given pilots who do what is asked, when one axis, four or eight are learnt, then the plan has their channels.
#[test]
fn one_axis_and_eight_are_learnt() {
    learns::<1>();
    learns::<4>();
    learns::<8>();
}

/// Given trains whose edges may be off by 20 us, when the same sticks are learnt, then each threshold is 4 points larger:
/// no disturbed edge takes the craft. The dwell is not shorter than it was.
#[test]
fn the_jitter_of_the_train_is_added_to_the_thresholds() {
    let learnt = |jitter_us| {
        let mut before = plan::<4>();
        before.instructor_train.jitter = handback::Duration::from_micros(jitter_us);
        let mut pilots = Pilots { learning: Learning::new(before), ..Pilots::new(1.5) };
        pilots.until(is_over);
        let plan = *pilots.learning.plan().expect("a plan");
        assert!(plan.policy.dwell >= before.policy.dwell);
        plan.policy.axes.map(|rule| rule.engage.to_bits())
    };
    let four_points = Deflection::from_points(4).to_bits();
    assert_eq!(learnt(20), learnt(0).map(|engage| engage + four_points));
}

/// Given a stick that is moved beside another, one that is known, a touch in the rest and the wrong end, when each is
/// made, then it is told and there is still a plan at the end.
#[test]
fn every_wrong_movement_is_told_once() {
    let mut pilots = Pilots::<4>::new(1.5);
    for (ask, at, frames) in [
        (Ask::Alone { side: Side::Student, axis: 0 }, [0.9, 0.6, 0.0, 0.0], 40),
        (Ask::Alone { side: Side::Student, axis: 1 }, [0.9, 0.0, 0.0, 0.0], 40),
        (Ask::All { side: Side::Student, prompt: Prompt::HandsOff }, [0.0, 0.2, 0.0, 0.0], 40),
        (Ask::All { side: Side::Student, prompt: Prompt::TopRight }, [0.0, 0.0, -0.9, 0.0], 40),
    ] {
        pilots.until(|asked| asked == ask);
        if let Ask::All { prompt: Prompt::HandsOff, .. } = ask {
            for _ in 0..200 {
                pilots.frame([0.0; 4]);
            }
        }
        pilots.frame([0.0; 4]);
        for _ in 0..frames {
            pilots.frame(at);
        }
        for _ in 0..20 {
            pilots.frame([0.0; 4]);
        }
    }
    pilots.until(is_over);
    let told = [
        Wrong::Together { channels: [0, 1] },
        Wrong::Taken { channel: 0, by: 0 },
        Wrong::Touched,
        Wrong::WrongWay { axis: 2 },
    ];
    assert_eq!(pilots.wrong, told);
    assert_eq!(pilots.learning.ask(), Ask::Done);
}

/// Given sticks that are too noisy for any threshold, when they are learnt, then the sequence ends after the
/// instructor's and there is no plan.
#[test]
fn noisy_sticks_end_it_without_a_plan() {
    let mut pilots = Pilots::<1>::new(17.0);
    pilots.until(is_over);
    let ask = pilots.learning.ask();
    assert!(matches!(ask, Ask::Ended(End::Refused(Refusal::TooNoisy { axis: 0, .. }))), "{ask:?}");
    assert!(pilots.learning.plan().is_none());
    pilots.learning.stop();
    assert!(matches!(pilots.learning.ask(), Ask::Ended(End::Refused(_))), "the first reason stays");
}
