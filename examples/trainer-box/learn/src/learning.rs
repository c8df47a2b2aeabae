//! The sequence: one stick after another, then all together; the instructor's transmitter, then the student's.

use handback::calibrate::Prompt;
use handback::{AxisSet, Frame, Instant, Pulse, Rest};
use trainer_box::{Format, MOST_CHANNELS, Plan, Side};

use crate::alone::Alone;
use crate::guide::Guide;
use crate::pace::Pace;
use crate::plan::{Transmitter, with_instructor, with_student};
use crate::step::{Ask, End, Step, Wrong};

/// The rest of the instructor's sticks carries the thresholds: two minutes at 50 frames a second. The student's gives
/// centres alone.
const REST_FRAMES: [u32; 2] = [6_000, 500];

/// Frames after which a step that nobody follows ends the sequence: two minutes at 50 frames a second.
const PATIENCE: u32 = 6_000;

type BoxPlan<const N: usize> = Plan<N, MOST_CHANNELS, MOST_CHANNELS>;

/// Learns the sticks of `N` axes, 1 to 8, of both transmitters, frame by frame.
#[derive(Clone, Debug)]
pub struct Learning<const N: usize> {
    /// The plan from which it began, with what was learnt since.
    plan: BoxPlan<N>,
    sprung: AxisSet,
    formats: [Option<Format>; 2],
    paces: [Pace; 2],
    side: Side,
    /// The channels that are known of this side.
    numbers: [u8; N],
    wider: AxisSet,
    /// Where the instructor's sticks rest, once they are learnt.
    rests: Frame<N>,
    state: State<N>,
    /// Frames of this side since the last that brought the sequence on.
    idle: u32,
    /// The axes that have not done a movement of all sticks.
    missing: AxisSet,
}

#[derive(Clone, Debug)]
#[allow(clippy::large_enum_variant)] // the room is needed while one of them is in force
enum State<const N: usize> {
    Trains,
    Alone { axis: u8, does: Does, alone: Alone },
    All(Guide<N>),
    Done,
    Ended(End),
}

/// What a stick that moves alone does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Does {
    /// All sticks stand still.
    Stand,
    Move,
    /// This channel comes back.
    Return(u8),
    /// All sticks come back after a wrong movement.
    Clear,
}

impl<const N: usize> Learning<N> {
    /// A sequence that changes this plan. A stick whose rest is a fixed place ([`Rest::At`]) has a spring.
    pub fn new(plan: BoxPlan<N>) -> Self {
        const { assert!(N >= 1 && N <= 8, "1 to 8 axes are learnt") };
        let mut sprung = AxisSet::EMPTY;
        for (axis, rule) in (0..).zip(&plan.policy.axes) {
            if let Rest::At(_) = rule.rest {
                sprung = sprung.with(axis);
            }
        }
        Self {
            plan,
            sprung,
            formats: [None; 2],
            paces: [Pace::default(); 2],
            side: Side::Instructor,
            numbers: [0; N],
            wider: AxisSet::EMPTY,
            rests: Frame::CENTRE,
            state: State::Trains,
            idle: 0,
            missing: AxisSet::EMPTY,
        }
    }

    /// What people are asked for.
    pub const fn ask(&self) -> Ask {
        let side = self.side;
        match &self.state {
            State::Trains => Ask::Trains,
            State::Alone { does: Does::Stand | Does::Clear, .. } => Ask::Middle { side },
            State::Alone { axis, does: Does::Move, .. } => Ask::Alone { side, axis: *axis },
            State::Alone { axis, does: Does::Return(channel), .. } => {
                Ask::Back { side, axis: *axis, channel: *channel }
            }
            State::All(guide) => Ask::All { side, prompt: guide.prompt() },
            State::Done => Ask::Done,
            State::Ended(why) => Ask::Ended(*why),
        }
    }

    /// The new plan, which passed its check; `None` until everything is learnt.
    pub const fn plan(&self) -> Option<&BoxPlan<N>> {
        if let State::Done = self.state { Some(&self.plan) } else { None }
    }

    /// The format of this side's train, once it was heard.
    pub const fn format(&self, side: Side) -> Option<Format> {
        let [instructor, student] = self.formats;
        match side {
            Side::Instructor => instructor,
            Side::Student => student,
        }
    }

    /// Ends the sequence without a plan, unless it is over.
    pub const fn stop(&mut self) {
        self.end(End::Stopped);
    }

    /// Lets time pass: a train that stopped ends the sequence.
    pub fn pass(&mut self, now: Instant) {
        for (side, pace) in [Side::Instructor, Side::Student].into_iter().zip(self.paces) {
            if pace.is_lost(now) {
                self.end(End::LinkLost { side });
            }
        }
    }

    /// Takes a train of this side, in the format that was found; `now` is its time.
    pub fn take(&mut self, now: Instant, side: Side, format: Format, train: &[Pulse; MOST_CHANNELS]) -> Step {
        let before = self.ask();
        let wrong = self.heard(now, side, format, train);
        let ask = self.ask();
        Step { ask, begun: ask != before || wrong == Some(Wrong::Touched), wrong }
    }

    fn heard(&mut self, now: Instant, side: Side, format: Format, train: &[Pulse; MOST_CHANNELS]) -> Option<Wrong> {
        self.pass(now);
        let [instructor, student] = &mut self.formats;
        let known = if side == Side::Instructor { instructor } else { student };
        if *known.get_or_insert(format) != format {
            self.end(End::OtherTrain { side });
        }
        let [instructor, student] = &mut self.paces;
        if side == Side::Instructor { instructor } else { student }.frame(now);
        if let (State::Trains, [Some(format), Some(_)]) = (&self.state, self.formats) {
            self.state = first_stick(format);
        }
        if side != self.side {
            return None;
        }
        self.idle = self.idle.saturating_add(1);
        let wrong = match &mut self.state {
            State::Alone { .. } => self.alone(train),
            State::All(_) => self.all(format, train),
            State::Trains | State::Done | State::Ended(_) => None,
        };
        // Sticks that are too noisy for a rest count as touched for ever.
        if wrong.is_some_and(|wrong| wrong != Wrong::Touched) {
            self.idle = 0;
        }
        self.run_out();
        wrong
    }

    /// One stick moves alone.
    fn alone(&mut self, train: &[Pulse; MOST_CHANNELS]) -> Option<Wrong> {
        let State::Alone { axis, does, alone } = &mut self.state else { return None };
        let (axis, next) = (*axis, axis.saturating_add(1));
        match *does {
            Does::Stand if alone.is_still(train) => *does = Does::Move,
            Does::Clear if alone.is_back(train, None) => *does = Does::Move,
            Does::Return(channel) if alone.is_back(train, Some(channel)) => {
                if usize::from(next) < N {
                    let State::Alone { axis, does, .. } = &mut self.state else { return None };
                    (*axis, *does) = (next, Does::Stand);
                } else {
                    let [instructor, student] = REST_FRAMES;
                    let rest = if self.side == Side::Instructor { instructor } else { student };
                    self.state = State::All(Guide::new(self.sprung, rest, self.wider));
                }
            }
            Does::Move => {
                let moved = alone.moved(train)?;
                let channel = moved.channel;
                let taken = (0..axis).zip(self.numbers).find(|&(_, number)| number == channel).map(|(by, _)| by);
                let wrong = match (moved.other, taken) {
                    (Some(other), _) => Some(Wrong::Together { channels: [channel, other] }),
                    (None, by) => by.map(|by| Wrong::Taken { channel, by }),
                };
                *does = if wrong.is_some() { Does::Clear } else { Does::Return(channel) };
                if wrong.is_none()
                    && let Some(number) = self.numbers.get_mut(usize::from(axis))
                {
                    *number = channel;
                    self.wider = if moved.wider { self.wider.with(axis) } else { self.wider.without(axis) };
                }
                self.idle = 0;
                return wrong;
            }
            Does::Stand | Does::Clear | Does::Return(_) => return None,
        }
        self.idle = 0;
        None
    }

    /// All sticks move together.
    fn all(&mut self, format: Format, train: &[Pulse; MOST_CHANNELS]) -> Option<Wrong> {
        let State::All(guide) = &mut self.state else { return None };
        let before = guide.prompt();
        let readings = self.numbers.map(|number| train.get(usize::from(number)).copied().unwrap_or(Pulse::MIN));
        let (missing, wrong) = guide.take(&readings);
        self.missing = missing;
        if guide.prompt() != before {
            self.idle = 0;
        }
        if let Some(sticks) = guide.learnt() {
            let learnt = Transmitter { format, numbers: self.numbers, sticks };
            self.learnt(&learnt);
        }
        wrong
    }

    /// Goes on to the student's transmitter, or to the end.
    fn learnt(&mut self, learnt: &Transmitter<N>) {
        let [pace, _] = self.paces;
        if self.side == Side::Instructor {
            match (with_instructor(self.plan, learnt, pace.frame_length()), self.formats) {
                (Ok((plan, rests)), [_, Some(format)]) => {
                    (self.plan, self.rests, self.side) = (plan, rests, Side::Student);
                    (self.numbers, self.wider, self.state) = ([0; N], AxisSet::EMPTY, first_stick(format));
                }
                (Err(why), _) => self.end(why),
                (Ok(_), _) => self.end(End::LinkLost { side: Side::Student }),
            }
        } else {
            match with_student(self.plan, learnt, &self.rests, self.sprung) {
                Ok(plan) => (self.plan, self.state) = (plan, State::Done),
                Err(why) => self.end(why),
            }
        }
    }

    /// Ends the sequence where nobody follows it.
    fn run_out(&mut self) {
        let side = self.side;
        let (why, rest) = match &self.state {
            State::Alone { does: Does::Stand | Does::Clear, .. } => (End::NotStill { side }, 0),
            State::Alone { axis, does: Does::Move, .. } => (End::NotMoved { side, axis: *axis }, 0),
            State::Alone { does: Does::Return(channel), .. } => (End::NotBack { side, channel: *channel }, 0),
            State::All(guide) => {
                let [instructor, student] = REST_FRAMES;
                let prompt = guide.prompt();
                // The rest may begin again twice.
                let rest = match (prompt, side) {
                    (Prompt::HandsOff, Side::Instructor) => instructor.saturating_mul(3),
                    (Prompt::HandsOff, Side::Student) => student.saturating_mul(3),
                    _ => 0,
                };
                (End::NotDone { side, prompt, missing: self.missing }, rest)
            }
            State::Trains | State::Done | State::Ended(_) => return,
        };
        if self.idle > PATIENCE.saturating_add(rest) {
            self.end(why);
        }
    }

    const fn end(&mut self, why: End) {
        if !matches!(self.state, State::Done | State::Ended(_)) {
            self.state = State::Ended(why);
        }
    }
}

/// Asks for the first stick of a transmitter with this train.
fn first_stick<const N: usize>(format: Format) -> State<N> {
    State::Alone { axis: 0, does: Does::Stand, alone: Alone::new(format.channels) }
}
