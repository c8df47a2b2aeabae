//! A transmitter and the line from it to the box: the edges sent, the edges that arrive, and the frames that the box
//! can have read from them.

use std::collections::VecDeque;

use handback::ppm::Level;
use trainer_box::Side;

/// The format of a transmitter's train. Times are in microseconds.
#[derive(Clone, Copy, Debug)]
pub struct Make {
    pub side: Side,
    pub channels: usize,
    pub separators: Level,
    pub separator: u64,
    pub frame: u64,
}

/// An edge that arrives at the box.
#[derive(Clone, Copy, Debug)]
pub struct Arrival {
    pub at: u64,
    pub level: Level,
}

/// An edge that the transmitter sends.
#[derive(Clone, Copy, Debug)]
struct Change {
    at: u64,
    level: Level,
    told: Told,
}

/// The number of times that an edge arrives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Told {
    Once,
    Never,
    Twice,
}

/// A flaw of one frame.
#[derive(Clone, Copy, Debug)]
pub enum Flaw {
    /// `count` edges from this one on do not arrive.
    Lost { from: usize, count: usize },
    /// This edge arrives twice.
    Doubled(usize),
    /// This edge comes later by `by` microseconds, or earlier where `by` is negative.
    Moved { edge: usize, by: i64 },
    /// An extra pulse of this width, at the time `after` from the start of the frame.
    Glitch { after: u64, width: u64 },
    /// The transmitter stops after this edge until the next frame.
    Half { after: usize },
    /// The frame has one channel less, or one more.
    Count { less: bool },
}

/// A frame that was sent.
#[derive(Clone, Debug)]
pub struct Sent {
    /// The pulse widths before any flaw.
    pub widths: Vec<u64>,
    pub start: u64,
    /// The time of its last edge.
    end: u64,
    edges: Vec<(u64, Level)>,
    /// Whether it has the right number of channels.
    counted: bool,
}

/// A frame that the box can have read by now.
#[derive(Clone, Debug)]
pub struct Heard {
    pub widths: Vec<u64>,
    /// Whether the box must have read it: it and the two frames before it had no fault.
    pub certain: bool,
    /// The time at which it was complete.
    pub at: u64,
}

/// A frame is complete when the line has been at rest for this time after its last separator.
const GAP: u64 = 2_500;
/// A frame whose last edge was moved can be read earlier by at most this.
const EARLY: u64 = 100;
/// An edge that moved further is not accepted.
const MOST_MOVED: u64 = 25;

/// A transmitter's line.
#[derive(Clone, Debug)]
pub struct Line {
    pub make: Make,
    pub next_start: u64,
    changes: VecDeque<Change>,
    /// The level that the transmitter sends now, and the level that arrives at the box.
    sent_level: Level,
    level: Level,
    cut: Option<u64>,
    upside_down: Option<u64>,
    /// The stretches of time with a fault on the line.
    wrong: VecDeque<(u64, u64)>,
    frames: VecDeque<Sent>,
    previous_end: u64,
    arrived: VecDeque<Arrival>,
    /// Number of frames in a row without a fault.
    untouched: u32,
}

impl Line {
    pub fn new(make: Make, first: u64) -> Self {
        let rest = make.separators.other();
        Self {
            make,
            next_start: first,
            changes: VecDeque::new(),
            sent_level: rest,
            level: rest,
            cut: None,
            upside_down: None,
            wrong: VecDeque::new(),
            frames: VecDeque::new(),
            previous_end: 0,
            arrived: VecDeque::new(),
            untouched: 0,
        }
    }

    /// Starts the next frame of the transmitter.
    pub fn send(&mut self, widths: Vec<u64>, flaw: Option<Flaw>) {
        let start = self.next_start;
        self.next_start += self.make.frame;
        let (separators, rest) = (self.make.separators, self.make.separators.other());
        let mut sent = widths.clone();
        if let Some(Flaw::Count { less }) = flaw {
            if less {
                sent.pop();
            } else {
                sent.push(1_000);
            }
        }
        let mut at = start;
        let mut changes = Vec::new();
        for width in sent.iter().copied().chain([0]) {
            changes.push(Change { at, level: separators, told: Told::Once });
            changes.push(Change { at: at + self.make.separator, level: rest, told: Told::Once });
            at += width;
        }
        let end = changes[changes.len() - 1].at;
        let edges = changes.iter().map(|change| (change.at, change.level)).collect();
        if let Some(flaw) = flaw {
            spoil(&mut changes, start, flaw);
            self.went_wrong(start, end);
        }
        let counted = sent.len() == widths.len();
        self.frames.push_back(Sent { widths, start, end, edges, counted });
        self.changes.extend(changes);
    }

    /// Cuts the cable: the line is low from now until `until`.
    pub fn cut(&mut self, from: u64, until: u64) {
        self.cut = Some(until);
        self.went_wrong(from, until);
    }

    /// Inverts the level of the line until `until`.
    pub fn turn_over(&mut self, from: u64, until: u64) {
        self.upside_down = Some(until);
        self.went_wrong(from, until);
    }

    /// Records a stretch of time with a fault. It may be one outside the line: lost edges, or a box that was down.
    pub fn went_wrong(&mut self, from: u64, until: u64) {
        self.wrong.push_back((from, until));
        if self.wrong.len() > 64 {
            self.wrong.pop_front();
        }
    }

    /// The edges that arrive before `until`, in order.
    pub fn arrivals(&mut self, from: u64, until: u64) -> Vec<Arrival> {
        let mut arrivals = Vec::new();
        self.settle(from, Told::Once, &mut arrivals);
        loop {
            let ends = [self.cut, self.upside_down].into_iter().flatten().min();
            let change = self.changes.front().copied();
            let at = match (ends, change) {
                (Some(end), Some(change)) => end.min(change.at),
                (Some(end), None) => end,
                (None, Some(change)) => change.at,
                (None, None) => break,
            };
            if at >= until {
                break;
            }
            let mut told = Told::Once;
            if let Some(change) = change.filter(|change| change.at == at) {
                self.changes.pop_front();
                self.sent_level = change.level;
                told = change.told;
            }
            self.cut = self.cut.filter(|&end| end > at);
            self.upside_down = self.upside_down.filter(|&end| end > at);
            self.settle(at, told, &mut arrivals);
        }
        self.arrived.extend(&arrivals);
        while self.arrived.front().is_some_and(|first| first.at + 200_000 < until) {
            self.arrived.pop_front();
        }
        arrivals
    }

    /// Sets the level of the line at the box. A line whose cable is out is low.
    fn settle(&mut self, at: u64, told: Told, arrivals: &mut Vec<Arrival>) {
        let level = match (self.cut, self.upside_down) {
            (Some(_), _) => Level::Low,
            (None, Some(_)) => self.sent_level.other(),
            (None, None) => self.sent_level,
        };
        if level != self.level {
            self.level = level;
            let arrival = Arrival { at, level };
            match told {
                Told::Once => arrivals.push(arrival),
                Told::Never => {}
                Told::Twice => arrivals.extend([arrival, arrival]),
            }
        }
    }

    /// The frames that the box can have read in this step. It must be called once for every step.
    ///
    /// A frame with a fault may be read a little early. It is then returned twice: when it can be read first, and when
    /// it is complete.
    pub fn heard(&mut self, now: u64, box_up_since: u64) -> Vec<Heard> {
        let mut heard = Vec::new();
        while let Some(frame) = self.frames.front() {
            let (from, until) = (self.previous_end, frame.end + GAP);
            let touched = frame.start < box_up_since || self.wrong.iter().any(|&(a, b)| a <= until && b >= from);
            if now + EARLY < until || (now < until && !touched) {
                break;
            }
            let can_be = frame.counted && frame.start >= box_up_since && self.arrived_whole(frame);
            let complete = now >= until;
            if complete {
                self.untouched = if touched { 0 } else { self.untouched + 1 };
                self.previous_end = frame.end;
            }
            if can_be {
                heard.push(Heard { at: until, widths: frame.widths.clone(), certain: !touched && self.untouched >= 3 });
            }
            if !complete {
                break;
            }
            self.frames.pop_front();
        }
        heard
    }

    /// Whether each of its edges arrived within [`MOST_MOVED`] of its time.
    fn arrived_whole(&self, frame: &Sent) -> bool {
        frame.edges.iter().all(|&(at, level)| {
            self.arrived.iter().any(|arrival| arrival.level == level && arrival.at.abs_diff(at) <= MOST_MOVED)
        })
    }
}

fn spoil(changes: &mut Vec<Change>, start: u64, flaw: Flaw) {
    match flaw {
        Flaw::Lost { from, count } => {
            changes.iter_mut().skip(from).take(count).for_each(|change| change.told = Told::Never);
        }
        Flaw::Doubled(edge) => changes[edge].told = Told::Twice,
        Flaw::Moved { edge, by } => changes[edge].at = changes[edge].at.saturating_add_signed(by),
        Flaw::Glitch { after, width } => {
            let at = start + after;
            let before =
                changes.iter().rev().find(|change| change.at <= at).map_or(changes[1].level, |last| last.level);
            changes.push(Change { at, level: before.other(), told: Told::Once });
            changes.push(Change { at: at + width, level: before, told: Told::Once });
        }
        Flaw::Half { after } => changes.truncate(after + 1),
        Flaw::Count { .. } => {}
    }
    changes.sort_by_key(|change| change.at);
}
