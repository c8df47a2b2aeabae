//! The plan: its names, the number of channels of each train, and the plan without the student.

mod plans;

use handback::cue::{Cue, Signs};
use handback::ppm::{Edge, Encoder, EncoderSetup, Level, PpmError};
use handback::{Duration, Instant, Pilot, Pulse};
use plans::plan;
use trainer_box::{AxisName, Desk, NameFault, Notice, Outlet, Part, Plan, PlanError, Side, TrainerBox, What};

fn refusal(change: impl Fn(&mut Plan<4, 16, 16>)) -> Option<PlanError> {
    let mut plan = plan();
    change(&mut plan);
    plan.check().err()
}

/// Given names at every limit, when the plan is checked, then a name that people cannot read in a trace, or could take
/// for another, is refused with its axis.
#[test]
fn a_name_is_short_visible_and_the_only_one_of_its_kind() {
    let named = |text: &str| refusal(|plan| plan.names[2] = AxisName::new(text));
    for good in ["t", "a b", "Thrust #1", "fifteen letters", "~!"] {
        assert_eq!(named(good), None, "{good:?}");
    }
    let long = "sixteen letters!".repeat(40);
    for (bad, fault, says) in [
        ("", NameFault::Empty, "names: axis 2 has no name: give it 1 to 15 characters"),
        (&long[..16], NameFault::TooLong, "names: axis 2: \"sixteen letters\" is too long: a name has at most 15"),
        (&long[..256], NameFault::TooLong, "names: axis 2: \"sixteen letters\" is too long"),
        (&long, NameFault::TooLong, "names: axis 2: \"sixteen letters\" is too long"),
        ("fourteen bytes\u{f6}", NameFault::TooLong, "names: axis 2: \"fourteen bytes?\" is too long"),
        ("a,b", NameFault::Character, "names: axis 2: \"a,b\" is no name: use the visible characters of ASCII"),
        ("a\"", NameFault::Character, "comma, quote and backslash, and no space at an end"),
        (" a", NameFault::Character, "\" a\" is no name"),
        ("a ", NameFault::Character, "\"a \" is no name"),
        ("a\nb", NameFault::Character, "is no name"),
        ("h\u{f6}he", NameFault::Character, "\"h\u{f6}he\" is no name"),
        ("Elevator", NameFault::Twice(1), "\"Elevator\" is the name of axis 1 too: give it another name"),
    ] {
        let why = named(bad).unwrap_or_else(|| panic!("{bad:?} passed"));
        assert!(matches!(why, PlanError::Name { axis: 2, fault: found, .. } if found == fault), "{why:?}");
        assert!(why.to_string().contains(says), "{why}");
    }
    let both = refusal(|plan| plan.names = AxisName::all(["a", "b", "c", "c"])).expect("two alike");
    assert!(both.to_string().starts_with("names: axis 3: \"c\" is the name of axis 2"), "{both}");
}

/// Given trains of fewer channels than there is room for, when an axis is on a channel that its train does not have,
/// then the plan is refused, and the channel before passes.
#[test]
fn an_axis_is_on_a_channel_that_its_train_has() {
    for (part, channels) in [(Part::Instructor, 8), (Part::Student, 6), (Part::Craft, 7)] {
        let moved = |to: u8| {
            refusal(|plan| {
                plan.student_train.channels = Some(6);
                plan.craft_train.channels = Some(7);
                let axes = match part {
                    Part::Instructor => &mut plan.instructor.axes,
                    Part::Student => &mut plan.student.axes,
                    Part::Craft => &mut plan.craft.axes,
                };
                axes[3].as_mut().expect("it has one").number = to;
            })
        };
        assert_eq!(moved(channels - 1), None);
        assert_eq!(moved(channels), Some(PlanError::NoSuchChannel { part, axis: 3, number: channels, channels }));
        assert!(matches!(moved(16), Some(PlanError::Channels(..))), "there is room for 16");
    }
    let why = refusal(|plan| plan.student.axes[0].as_mut().expect("it has one").number = 9).expect("beyond");
    assert_eq!(why.to_string(), "student: axis 0: number is 9: the train has only 8 channels, counted from 0");
}

/// Given a train to the craft, when it has more channels than the instructor's or its frame is too short for them, then
/// the plan is refused.
#[test]
fn the_craft_gets_no_more_channels_than_there_are() {
    let of = |channels| refusal(|plan| plan.craft_train.channels = Some(channels));
    assert_eq!((of(4), of(8)), (None, None));
    let why = refusal(|plan| {
        plan.craft_train.channels = Some(9);
        plan.craft_train.frame_length = Duration::from_millis(24);
    });
    assert_eq!(why, Some(PlanError::CraftChannels { craft: 9, instructor: 8 }));
    assert_eq!(
        why.map(|why| why.to_string()).as_deref(),
        Some(
            "craft_train: channels is 9: it must be at most 8, the instructor's, from which channels without an axis come"
        )
    );
    assert!(matches!(of(9), Some(PlanError::Train(Part::Craft, PpmError::FrameLength { channels: 9, .. }))));
    let why = refusal(|plan| plan.student_train.channels = Some(3));
    assert_eq!(why, Some(PlanError::Train(Part::Student, PpmError::Channels { channels: 3, room: 16 })));
}

/// A box with its outlet, two transmitters, and a desk.
struct Bench<const M: usize> {
    trainer_box: TrainerBox<'static, 4, M, M>,
    outlet: Outlet<M>,
    lines: [(Side, Encoder<8>, Option<Edge>); 2],
    alarm: Option<Edge>,
    sent: Vec<Edge>,
    now: u32,
}

impl<const M: usize> Bench<M> {
    fn new(plan: &Plan<4, M, M>) -> Self {
        let plan = Box::leak(Box::new(plan.check().expect("a plan that is in order")));
        let lines = [(Side::Instructor, 5_000), (Side::Student, 9_000)].map(|(side, start)| {
            let mut train: Encoder<8> = EncoderSetup::new(Level::High).check().expect("in order");
            let _ = train.start(Instant::from_ticks(start), &[Pulse::from_micros(1_500); 8]);
            let next = train.next_edge();
            (side, train, next)
        });
        let trainer_box = TrainerBox::new(plan, Instant::from_ticks(0));
        Self { trainer_box, outlet: Outlet::new(plan), lines, alarm: None, sent: Vec::new(), now: 0 }
    }

    fn step(&mut self, desk: Desk) -> trainer_box::Step<4, M> {
        self.now += 1_000;
        let due = |edge: &Option<Edge>, now: u32| edge.is_some_and(|edge| edge.at.as_ticks() <= now);
        for (side, train, next) in &mut self.lines {
            while due(next, self.now) {
                self.trainer_box.edge(*side, next.expect("it is due"));
                *next = train.next_edge();
            }
        }
        while due(&self.alarm, self.now) {
            self.sent.extend(self.alarm);
            self.alarm = self.outlet.next_edge();
        }
        let step = self.trainer_box.step(Instant::from_ticks(self.now), desk);
        self.alarm = self.outlet.send(Instant::from_ticks(self.now), step.pulses.as_ref()).or(self.alarm);
        step
    }
}

/// Given two boxes with the same plan, one with room for eight channels and one for sixteen, when both fly the same
/// lesson, then they take the same decisions and send the same edges.
#[test]
fn room_for_more_channels_changes_nothing() {
    let (mut exact, mut roomy) = (Bench::new(&plan::<8>()), Bench::new(&plan::<16>()));
    let mut random: u32 = 1;
    let mut below = |limit: u32| {
        random = random.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        (random >> 16) % limit
    };
    let (mut desk, mut flown) = (Desk::default(), 0);
    for _ in 0..60_000 {
        if below(2_500) == 0 {
            desk.lesson_switch = !desk.lesson_switch;
        }
        for side in 0..2 {
            if below(if side == 0 { 400 } else { 40 }) == 0 {
                let stray = if side == 0 { 60 * below(2) } else { 100 };
                let frame = std::array::from_fn(|_| Pulse::from_micros(1_500 + below(stray + 1)));
                let limited = exact.lines[side].1.send(&frame);
                assert_eq!(roomy.lines[side].1.send(&frame), limited);
            }
        }
        let (one, other) = (exact.step(desk), roomy.step(desk));
        assert_eq!((one.outcome, one.signs), (other.outcome, other.signs));
        assert_eq!(one.pulses.as_ref().map(|pulses| &pulses[..]), other.pulses.as_ref().map(|pulses| &pulses[..8]));
        flown += u32::from(matches!(one.outcome.pilot, Pilot::Student(_)));
    }
    assert_eq!(exact.sent, roomy.sent);
    assert!(flown > 5_000 && exact.sent.len() > 40_000, "{flown} steps of the student, {} edges", exact.sent.len());
}

/// Given a plan without the student, when switch and student ask for the craft, then the instructor flies on; the check
/// of the bench begins all the same, so that another plan can be stored.
#[test]
fn without_the_student_no_lesson_begins_and_the_bench_does() {
    let alone = plan::<16>().instructor_alone();
    let mut bench = Bench::new(&alone);
    for at in 0..20_000 {
        let step = bench.step(Desk { lesson_switch: at > 1_000, instructor_now: false });
        assert!(matches!(step.outcome.pilot, Pilot::Instructor | Pilot::Nobody), "{:?}", step.outcome);
        assert!(at < 100 || step.pulses.is_some(), "the instructor flies");
    }
    let mut bench = Bench::new(&alone);
    bench.lines.iter_mut().for_each(|line| line.2 = None);
    let mut told = Vec::new();
    for _ in 0..30_000 {
        let _ = bench.step(Desk { lesson_switch: false, instructor_now: bench.now < 2_500_000 });
        told.extend(std::iter::from_fn(|| bench.trainer_box.next_entry()).map(|entry| entry.what));
    }
    assert!(told.contains(&What::CheckBegins), "{told:?}");
}

/// Given a plan, when it is checked and asked for again, then it is the same.
#[test]
fn a_checked_plan_gives_the_plan_back() {
    let checked = plan::<16>().check().expect("in order");
    assert_eq!(checked.plan(), plan::<16>());
    assert_eq!(checked.names()[2].as_str(), "throttle");
}

/// Given a box that says that its plan was refused, when a cue begins, then the cue is heard as it is, and the long pulse
/// comes only after it; it has a length that no cue has.
#[test]
fn the_notice_of_a_refused_plan_gives_way_to_cues() {
    let cue = |ms: u32| {
        (2_000..2_300).contains(&ms)
            || (5_200..5_500).contains(&ms)
            || (9_000..9_200).contains(&ms)
            || (25_400..25_500).contains(&ms)
    };
    let mut notice = Notice::new(Instant::from_ticks(0), true);
    let mut pulses: Vec<(u32, u32)> = Vec::new();
    for ms in 1..26_000 {
        let played = Signs { lamp: cue(ms), beeper: cue(ms), student_flies: cue(ms), ..Signs::default() };
        let signs = notice.over(Instant::from_ticks(ms * 1_000), played, None);
        assert_eq!((signs.lamp, signs.student_flies), (signs.beeper, played.student_flies));
        if cue(ms) {
            assert_eq!(signs, played);
        } else if signs.beeper {
            match pulses.last_mut() {
                Some((from, length)) if *from + *length == ms => *length += 1,
                _ => pulses.push((ms, 1)),
            }
        }
    }
    let lengths: Vec<u32> = pulses.iter().map(|pulse| pulse.1).collect();
    assert_eq!(lengths, [1_200, 1_200, 398], "{pulses:?}");
    assert_eq!(pulses[0].0, 13_200, "four seconds after the last cue");
    for cue in Cue::ALL {
        let rhythm = cue.rhythm();
        let longest = rhythm.lengths().iter().step_by(2).max().copied().unwrap_or(0);
        assert!(rhythm.pulses() > 1 && longest < 900, "{cue:?}: {rhythm:?}");
    }
}
