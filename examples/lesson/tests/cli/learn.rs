//! The command `learn`: two simulated pilots do what is asked, and their raw trace is what the box would have sent.

use std::fmt::Write;

use handback::calibrate::{Calibration, Prompt};
use handback::{AxisSet, Pulse};
use seeded::Random;

use crate::desk::Desk;

const CHANNELS: [usize; 2] = [8, 5];

/// The channel of each stick, whether it is reversed, its centre and its travel, for the instructor and the student.
const STICKS: [[(usize, bool, f64, f64); 4]; 2] = [
    [(1, false, 1500.0, 500.0), (2, true, 1505.0, 500.0), (0, false, 1500.0, 500.0), (3, false, 1500.0, 490.0)],
    [(0, true, 1492.0, 400.0), (1, false, 1510.0, 450.0), (2, false, 1500.0, 500.0), (3, false, 1500.0, 500.0)],
];

/// Two transmitters and the trace of what they send.
pub(crate) struct Bench {
    /// From -1 to 1, by side and axis.
    at: [[f64; 4]; 2],
    random: Random,
    rows: u32,
    pub(crate) text: String,
    student_sends: bool,
}

impl Bench {
    fn new() -> Self {
        let columns =
            |side: &str, count: usize| (0..count).map(|n| format!(",us:{side}{n}")).collect::<Vec<_>>().concat();
        let mut text = "# version 1\n# train instructor high 8\n# train student low 5\n".to_owned();
        let (i, s) = (columns("i", CHANNELS[0]), columns("s", CHANNELS[1]));
        writeln!(text, "time_us,lesson_switch,instructor_now{i}{s}").unwrap();
        Self { at: [[0.0; 4]; 2], random: Random::stream(5, 5), rows: 0, text, student_sends: true }
    }

    /// The widths of one side in this frame, channel 0 first.
    fn widths(&mut self, side: usize) -> Vec<u16> {
        let mut widths = vec![1500; CHANNELS[side]];
        for (&(channel, reversed, centre, travel), at) in STICKS[side].iter().zip(self.at[side]) {
            let at = if reversed { -at } else { at };
            let noise = 2.0 * self.random.normal();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // a width
            let width = (centre + at * travel + noise).round() as u16;
            widths[channel] = width;
        }
        widths
    }

    /// Sends a frame of both sides; the readings of the sticks of this side.
    fn frame(&mut self, side: usize) -> [Pulse; 4] {
        let both = [self.widths(0), self.widths(1)];
        let mut cells: Vec<_> = both[0].iter().map(|width| format!(",{width}")).collect();
        let sends = self.student_sends;
        cells.extend(both[1].iter().map(|width| if sends { format!(",{width}") } else { ",".to_owned() }));
        let cells = cells.concat();
        writeln!(self.text, "{},0,0{cells}", self.rows * 20_000).unwrap();
        self.rows += 1;
        STICKS[side].map(|(channel, ..)| Pulse::from_micros(both[side][channel].into()))
    }

    fn frames(&mut self, count: usize) {
        for _ in 0..count {
            self.frame(0);
        }
    }

    /// Moves one stick after another; `order` says which stick moves where axis 0, 1, .. is asked for.
    fn one_by_one(&mut self, side: usize, order: &[usize]) {
        for &axis in order {
            self.frames(30);
            self.at[side][axis] = 0.9;
            self.frames(20);
            self.at[side][axis] = 0.0;
            self.frames(20);
        }
    }

    /// Moves these sticks, holds them, and lets them go.
    fn wrongly(&mut self, side: usize, at: [f64; 4]) {
        self.frames(60);
        self.at[side] = at;
        self.frames(30);
        self.at[side] = [0.0; 4];
        self.frames(20);
    }

    /// Does what the guide asks. Where it is wrong once, it touches a stick in the rest and moves the rudder the wrong
    /// way in the first corner, before it is right.
    fn follow_the_guide(&mut self, side: usize, rest: u32, wrong_once: bool) {
        let mut guide = Calibration::new(AxisSet::of(&[0, 1, 3]), rest);
        let mut corner = !wrong_once;
        for n in 0_i32.. {
            if wrong_once && n == 300 {
                self.at[side] = [0.0, 0.5, 0.0, 0.0];
                self.frames(20);
                self.at[side] = [0.0; 4];
                self.frames(40);
                guide = Calibration::new(AxisSet::of(&[0, 1, 3]), rest);
            }
            if guide.step() == Prompt::TopRight && !corner {
                corner = true;
                self.at[side] = [1.0, 1.0, 1.0, -1.0];
                self.frames(30);
                self.at[side] = [0.0; 4];
                self.frames(10);
            }
            let at = match guide.step() {
                Prompt::HandsOff | Prompt::LetGo => 0.0,
                Prompt::TopRight => 1.0,
                Prompt::BottomLeft => -1.0,
                Prompt::Stir => f64::from((n % 80 - 40).abs() - 20) / 20.0,
                Prompt::Done => break,
            };
            self.at[side] = [at; 4];
            let readings = self.frame(side);
            guide.take(&readings);
        }
        self.at[side] = [0.0; 4];
        self.frames(60);
    }

    pub(crate) fn sequence() -> Self {
        let mut bench = Self::new();
        for (side, rest) in [6_000, 500].into_iter().enumerate() {
            bench.one_by_one(side, &[0, 1, 2, 3]);
            bench.follow_the_guide(side, rest, false);
        }
        bench
    }
}

/// Given two transmitters of another order, level and direction each, when their sticks are learnt, then the box file
/// says so, passes its check, and its thresholds are those of a quiet stick.
#[test]
fn both_transmitters_are_learnt() {
    let desk = Desk::new();
    let out = desk.put("raw.csv", Bench::sequence().text).run_well(&["learn", "raw.csv"]);
    assert!(out.contains("instructor: 8 channels, separators high\ninstructor: hold the aileron stick right"), "{out}");
    assert!(out.contains("student: Hold all sticks down and left."), "{out}");
    the_box_is_that_of_the_sticks(&desk);
}

/// The box file is the one of `STICKS`.
fn the_box_is_that_of_the_sticks(desk: &Desk) {
    desk.run_well(&["policy", "box.toml"]);
    let text = desk.read("box.toml");
    let after = |table: &str, text: &str| {
        let (_, rest) = text.split_once(table).unwrap();
        rest.split("\n\n").next().unwrap().to_owned()
    };
    assert!(after("[instructor]", &text).contains("channels = 8\nseparators = \"high\""), "{text}");
    assert!(after("[student]", &text).contains("channels = 5\nseparators = \"low\""), "{text}");
    for (axis, name) in ["aileron", "elevator", "throttle", "rudder"].into_iter().enumerate() {
        let (_, of_axis) = text.split_once(&format!("name = \"{name}\"")).unwrap();
        for (side, table) in ["[axis.instructor]", "[axis.student]"].into_iter().enumerate() {
            let (channel, reversed, ..) = STICKS[side][axis];
            let told = format!("channel = {channel}\nreversed = {reversed}\n");
            assert!(after(table, of_axis).contains(&told), "{name} {table}: {text}");
        }
    }
    let (_, aileron) = text.split_once("name = \"aileron\"").unwrap();
    let student = after("[axis.student]", aileron);
    let centre = student.split_once("centre_us = ").unwrap().1.lines().next().unwrap().parse::<f64>().unwrap();
    assert!((centre - 1492.0).abs() <= 1.0, "{student}");
    let engage = aileron.split_once("engage_points = ").unwrap().1.lines().next().unwrap().parse::<f64>().unwrap();
    assert!((1.0..4.0).contains(&engage), "{engage}");
}

/// Given pilots who do each movement wrong once, when it is learnt, then each is told and asked again, and the box is that
/// of pilots who do it right.
#[test]
fn a_wrong_movement_is_told_and_asked_again() {
    let mut bench = Bench::new();
    for (side, rest) in [6_000, 500].into_iter().enumerate() {
        bench.wrongly(side, [0.9, 0.6, 0.0, 0.0]);
        bench.one_by_one(side, &[0]);
        bench.wrongly(side, [0.9, 0.0, 0.0, 0.0]);
        bench.one_by_one(side, &[1, 2, 3]);
        bench.follow_the_guide(side, rest, true);
    }
    let desk = Desk::new();
    let out = desk.put("raw.csv", bench.text).run_well(&["learn", "raw.csv"]);
    for said in [
        "instructor: hold the aileron stick right, that stick alone.\n  Channels 1 and 2 moved together: all sticks back",
        "  Channel 1 is that of the aileron stick: all sticks back to the middle, then again.\n\
         instructor: hold the elevator stick up, that stick alone.\n  channel 2. Back to the middle.",
        "student: hold the aileron stick right, that stick alone.\n  Channels 0 and 1 moved together: all sticks back",
        "  Channel 0 is that of the aileron stick",
    ] {
        assert!(out.contains(said), "{said}: {out}");
    }
    for said in ["A stick was touched: the rest begins again.", "The rudder stick is at the wrong end"] {
        assert_eq!(out.matches(said).count(), 2, "{said}: {out}");
    }
    the_box_is_that_of_the_sticks(&desk);
}

/// Given a sequence that goes wrong or ends early, when it is learnt, then it is told and nothing is written.
#[test]
fn a_wrong_or_half_done_sequence_writes_nothing() {
    let whole = Bench::sequence().text;
    let lines = whole.lines().count();
    let cut = |at: usize| whole.lines().take(at).map(|line| format!("{line}\n")).collect::<Vec<_>>().concat();
    let mut silent = Bench::new();
    silent.frames(50);
    silent.student_sends = false;
    silent.frames(60);
    let mut held = Bench::new();
    held.frames(30);
    held.at[0][1] = 0.9;
    held.frames(6_100);
    let mut other = Bench::new();
    other.frames(50);
    other.text += "# train student low 6\n";
    other.frames(50);
    let mut idle = Bench::new();
    idle.frames(6_100);
    for (text, said) in [
        (cut(3), "ended before everything was learnt"),
        (cut(100), "ended before everything was learnt"),
        (cut(lines / 2), "ended before everything was learnt"),
        (cut(lines - 200), "ended before everything was learnt"),
        (silent.text, "the student's train stopped for a second; check plug and cable"),
        (held.text, "channel 2 did not come back to the middle"),
        (other.text, "the student's train became another one"),
        (idle.text, "no channel of the instructor moved for the aileron stick"),
        ("# refused: unknown command \"raw\"\n".to_owned(), "the box refused: unknown command"),
        ("# train craft high 8\n".to_owned(), "does not say what a train is"),
    ] {
        let desk = Desk::new();
        let run = desk.put("raw.csv", text).run(&["learn", "raw.csv"]);
        assert_eq!(run.code, Some(2), "{run:?}");
        assert!(run.err.contains(said) && run.err.contains("nothing was written"), "{run:?}");
        assert_eq!(desk.files(), ["raw.csv"], "{said}");
    }
}
