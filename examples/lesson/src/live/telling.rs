//! The outcome of a step as a state: points, seconds and plain sentences.

use handback::{AxisSet, Cause, Frame, Outcome, Policy, Reception, Rest, Scope, Waiting};

use super::beside::{Beside, Both, points};
use super::lesson::axes;
use super::reaction::seconds;
use super::state::{Change, CraftState, Mistake, NoSignal, Plain, State, Sticks, Taken, Waits};
use crate::decisions::{cause_word, pilot_word, waiting_word};
use crate::timeline::{Entry, sentence, wait};

/// What a step is told from.
pub(super) struct Told<'a, const N: usize> {
    pub(super) time_us: u64,
    pub(super) both: &'a Both<N>,
    /// What the engine would say to the same in the next step, with the lesson switch on.
    pub(super) switched_on: Outcome<N>,
    pub(super) beside: &'a Beside<N>,
    pub(super) policy: &'a Policy<N>,
    pub(super) names: &'a [String],
    /// The instructor's and the student's last frame.
    pub(super) sides: [Option<Frame<N>>; 2],
    /// What has been said before.
    pub(super) said: Said,
}

/// What the words of a step depend on besides its outcome.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Said {
    /// Whether the student had the craft before.
    has_flown: bool,
    /// Why who flies changed last.
    cause: Option<Cause>,
}

impl Said {
    /// The same after this step.
    pub(super) fn after<const N: usize>(self, outcome: &Outcome<N>) -> Self {
        Self {
            has_flown: self.has_flown || !outcome.pilot.student().is_empty(),
            cause: outcome.event.map(|event| event.cause).or(self.cause),
        }
    }
}

impl<const N: usize> Told<'_, N> {
    pub(super) fn state(&self, craft: CraftState, mistake: Option<Mistake>, taken: Option<Taken>) -> State {
        let Both { engine, plain, signs } = self.both;
        State {
            time_s: seconds(self.time_us),
            flies: pilot_word(engine.pilot),
            shares: flags::<N>(engine.pilot.student()),
            held: flags::<N>(engine.held),
            holds: self.holds(engine),
            pickup: flags::<N>(engine.pickup),
            waits: engine.waiting.map(|waiting| self.waits(waiting)),
            seen_off_first: !matches!(
                self.switched_on.waiting,
                Some(Waiting::InstructorSignal | Waiting::SwitchOffFirst)
            ),
            no_signal: self.no_signal(),
            sticks: self.sticks(engine),
            sound: signs.beeper,
            lamp: signs.lamp,
            events: self.change(engine).into_iter().collect(),
            plain: Plain {
                flies: pilot_word(plain.pilot),
                output: all(plain.output.axes()),
                changes: self.beside.plain.changes,
            },
            changes: self.beside.engine.changes,
            jump: self.beside.engine.jump,
            plain_jump: self.beside.plain.jump,
            agrees: self.beside.agrees(),
            craft,
            mistake,
            taken,
        }
    }

    fn holds(&self, outcome: &Outcome<N>) -> Vec<&'static str> {
        let sticks_decide = !outcome.pilot.student().is_empty() || matches!(outcome.waiting, Some(Waiting::Held(_)));
        let held = if sticks_decide { outcome.held } else { AxisSet::EMPTY };
        let one = |axis| match self.policy.scope {
            _ if !held.contains(axis) => "",
            Scope::Axis if self.policy.shared.contains(axis) => "axis",
            Scope::Axis | Scope::Craft => "craft",
        };
        (0_u8..).take(N).map(one).collect()
    }

    fn waits(&self, waiting: Waiting) -> Waits {
        let (for_what, _) = waiting_word(waiting);
        let words = self.wait(waiting);
        if waiting != Waiting::InstructorSignal && self.no_signal().student {
            // No time runs down while no frame comes.
            let words = match waiting {
                Waiting::StudentLink { .. } | Waiting::Dwell { .. } | Waiting::Settling { .. } => {
                    "no student link: no frame comes".to_owned()
                }
                _ => format!("no student link; then: {words}"),
            };
            return Waits { for_what, words, left_s: None, axis: None };
        }
        let left = match waiting {
            Waiting::Settling { left } | Waiting::StudentLink { left } | Waiting::Dwell { left } => Some(left),
            _ => None,
        };
        let axis = match waiting {
            Waiting::Held(axis) | Waiting::Gate(axis) => Some(axis),
            _ => None,
        };
        let left_s = left.map(|left| seconds(left.as_ticks().into()));
        Waits { for_what, words, left_s, axis }
    }

    fn wait(&self, waiting: Waiting) -> String {
        match (waiting, self.said.after(&self.both.engine).cause) {
            (Waiting::Latch, Some(Cause::InstructorNow)) => {
                "the instructor's button keeps the craft (latched): turn the lesson switch off, then on".to_owned()
            }
            _ => wait(waiting, self.names),
        }
    }

    fn no_signal(&self) -> NoSignal {
        let Outcome { instructor, student, .. } = self.both.engine;
        NoSignal { instructor: instructor != Reception::Good, student: student != Reception::Good }
    }

    fn change(&self, outcome: &Outcome<N>) -> Option<Change> {
        let event = outcome.event?;
        let (cause, axis) = cause_word(event.cause);
        let axis = axis.and_then(|axis| u8::try_from(axis).ok());
        let stick = axis.and_then(|axis| outcome.stick.get(axis));
        let (from, to, time_us) = (event.from, event.to, self.time_us);
        let entry = Entry { time_us, from, to, cause: event.cause, stick, reason: "", meant: None };
        Some(Change {
            time_s: seconds(time_us),
            from: pilot_word(from),
            to: pilot_word(to),
            cause,
            words: match event.cause {
                Cause::HandedBack if !self.said.has_flown => "student flies: given to the student".to_owned(),
                _ => sentence(&entry, self.names, self.policy.shared),
            },
            axis,
        })
    }

    fn sticks(&self, outcome: &Outcome<N>) -> Sticks {
        let [instructor, student] = self.sides.map(axes);
        let flies = !outcome.pilot.student().is_empty();
        let rests = (0_u8..).zip(&self.policy.axes).zip(self.beside.rests());
        let rest = rests.map(|((axis, rule), rest)| match rule.rest {
            Rest::At(rest) => Some(points(rest)),
            // Where it was left counts from the moment in which the student got the craft (R2).
            Rest::WhereLeft { .. } => rest.filter(|_| flies && !outcome.held.contains(axis)).map(points),
        });
        Sticks {
            instructor: all(&instructor),
            student: all(&student),
            output: all(outcome.output.axes()),
            rest: rest.collect(),
            engage: self.policy.axes.iter().map(|rule| points(rule.engage)).collect(),
            release: self.policy.axes.iter().map(|rule| points(rule.release)).collect(),
        }
    }
}

fn flags<const N: usize>(axes: AxisSet) -> Vec<bool> {
    (0_u8..).take(N).map(|axis| axes.contains(axis)).collect()
}

fn all(axes: &[handback::Deflection]) -> Vec<f64> {
    axes.iter().map(|axis| points(*axis)).collect()
}
