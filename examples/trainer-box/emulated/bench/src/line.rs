//! A transmitter and the line from it to the box: what is sent, what arrives, and what the box can have read of it.

use std::collections::VecDeque;

use handback::ppm::Level;
use trainer_box::Side;

/// A transmitter's make.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Make {
    pub(crate) side: Side,
    pub(crate) channels: usize,
    pub(crate) separators: Level,
    pub(crate) separator: u64,
    pub(crate) frame: u64,
}

/// Where the line goes: to the box's interrupts.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Arrival {
    pub(crate) at: u64,
    pub(crate) level: Level,
}

/// What the transmitter puts on the line.
#[derive(Clone, Copy, Debug)]
struct Change {
    at: u64,
    level: Level,
    told: Told,
}

/// How often the box is told of a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Told {
    Once,
    Never,
    Twice,
}

/// What is wrong with one frame.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Flaw {
    /// Edges from this one on are never told, so many of them.
    Lost { from: usize, count: usize },
    /// This edge is told twice.
    Doubled(usize),
    /// This edge comes so much too late, or too early.
    Moved { edge: usize, by: i64 },
    /// A pulse of this width, so long after the frame's start.
    Glitch { after: u64, width: u64 },
    /// The transmitter stops after this edge until the next frame.
    Half { after: usize },
    /// A channel less, or one more.
    Count { less: bool },
}

/// A frame that was sent, and what became of it.
#[derive(Clone, Debug)]
pub(crate) struct Sent {
    /// What the transmitter meant.
    pub(crate) widths: Vec<u64>,
    pub(crate) start: u64,
    /// Its last edge.
    end: u64,
    edges: Vec<(u64, Level)>,
    /// It has as many channels as it should.
    counted: bool,
}

/// A frame that the box can have read by now.
#[derive(Clone, Debug)]
pub(crate) struct Heard {
    pub(crate) widths: Vec<u64>,
    /// The box must have read it: it and the two before it were untouched.
    pub(crate) certain: bool,
    /// When it was complete.
    pub(crate) at: u64,
}

/// After its last separator a frame is complete when the line has rested for this long.
const GAP: u64 = 2_500;
/// A frame can be read a little earlier where its last edge was moved.
const EARLY: u64 = 100;
/// No edge that has moved further is accepted.
const MOST_MOVED: u64 = 25;

#[derive(Debug)]
pub(crate) struct Line {
    pub(crate) make: Make,
    pub(crate) next_start: u64,
    changes: VecDeque<Change>,
    /// What the transmitter puts on the line now, and what arrives at the box.
    sent_level: Level,
    level: Level,
    cut: Option<u64>,
    upside_down: Option<u64>,
    /// When something was wrong on the line.
    wrong: VecDeque<(u64, u64)>,
    frames: VecDeque<Sent>,
    previous_end: u64,
    arrived: VecDeque<Arrival>,
    /// Untouched frames in a row.
    untouched: u32,
}

impl Line {
    pub(crate) fn new(make: Make, first: u64) -> Self {
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

    /// The transmitter begins its next frame.
    pub(crate) fn send(&mut self, widths: Vec<u64>, flaw: Option<Flaw>) {
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

    /// Nothing arrives from now until then.
    pub(crate) fn cut(&mut self, from: u64, until: u64) {
        self.cut = Some(until);
        self.went_wrong(from, until);
    }

    /// Whatever arrives is upside down until then.
    pub(crate) fn turn_over(&mut self, from: u64, until: u64) {
        self.upside_down = Some(until);
        self.went_wrong(from, until);
    }

    /// Something was wrong that the line does not know of: lost edges, a box that was down.
    pub(crate) fn went_wrong(&mut self, from: u64, until: u64) {
        self.wrong.push_back((from, until));
        if self.wrong.len() > 64 {
            self.wrong.pop_front();
        }
    }

    /// What arrives before `until`, in order.
    pub(crate) fn arrivals(&mut self, from: u64, until: u64) -> Vec<Arrival> {
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

    /// The line takes its level: a cable that is out is pulled low.
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

    /// The frames that the box can have read in this step. Asked once for every step.
    ///
    /// A frame that was touched may be read a little early; then it is named twice, when that begins to be so and when
    /// it is over.
    pub(crate) fn heard(&mut self, now: u64, box_up_since: u64) -> Vec<Heard> {
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

    /// Whether each of its edges arrived, about when it was sent.
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
