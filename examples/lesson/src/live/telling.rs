//! The outcome of a step as a state: points, seconds and plain sentences.

use handback::{AxisSet, Cause, Frame, Outcome, Pilot, Policy, Reception, Rest, Scope, Waiting};

use super::beside::{Beside, Both, points};
use super::lesson::axes;
use super::memory::{Latched, Memory};
use super::state::{Change, CraftState, Mistake, NoSignal, Note, Plain, State, Sticks, Taken};
use crate::count::seconds;
use crate::decisions::{cause_word, pilot_word};
use crate::timeline::{Entry, Latch, keeping, sentence};

/// What a step is told from.
pub(super) struct Told<'a, const N: usize> {
    pub(super) time_us: u64,
    pub(super) both: &'a Both<N>,
    /// What the engine would say in the next step, with the instructor's signal and the lesson switch on.
    pub(super) switched_on: Outcome<N>,
    pub(super) beside: &'a Beside<N>,
    pub(super) policy: &'a Policy<N>,
    pub(super) names: &'a [String],
    /// The instructor's and the student's last frame.
    pub(super) sides: [Option<Frame<N>>; 2],
    /// What the steps up to this one did.
    pub(super) memory: &'a Memory<N>,
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
            picks_up: self.picks_up(),
            failsafe: (engine.pilot == Pilot::Nobody).then(|| self.failsafe()),
            moves: self.moves(),
            now_jumps: self.now_jumps(),
            student_still_s: seconds(self.memory.still_us(self.time_us)),
            frozen_after_s: self.policy.frozen_after.map(|after| seconds(after.as_ticks().into())),
            kept_by_button: self.memory.latched == Some(Latched::Button),
            seen_off_first: !matches!(
                self.switched_on.waiting,
                Some(Waiting::InstructorSignal | Waiting::SwitchOffFirst)
            ),
            no_signal: self.no_signal(),
            sticks: self.sticks(engine),
            sound: signs.beeper,
            lamp: signs.lamp,
            events: self.change(engine).into_iter().collect(),
            notes: self.notes().into_iter().map(|words| Note { time_s: seconds(self.time_us), words }).collect(),
            plain: Plain {
                flies: pilot_word(plain.pilot),
                shares: flags::<N>(plain.pilot.student()),
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

    fn failsafe(&self) -> String {
        let at = self.names.iter().zip(&self.policy.axes).map(|(name, rule)| (name, points(rule.failsafe)));
        let (centred, moved): (Vec<_>, Vec<_>) = at.partition(|(_, at)| *at == 0.0);
        let mut words: Vec<String> = moved.iter().map(|(name, at)| format!("{name} {at:+}")).collect();
        match (centred.len(), moved.len()) {
            (0, _) => {}
            (_, 0) => words.push("all at 0".to_owned()),
            (1, _) => words.push("the other 0".to_owned()),
            _ => words.push("the others 0".to_owned()),
        }
        words.join(", ")
    }

    pub(super) fn no_signal(&self) -> NoSignal {
        let Outcome { instructor, student, .. } = self.both.engine;
        NoSignal { instructor: instructor != Reception::Good, student: student != Reception::Good }
    }

    /// Why the engine changed who flies in this step.
    pub(super) fn cause(&self) -> Option<Cause> {
        self.both.engine.event.map(|event| event.cause)
    }

    fn change(&self, outcome: &Outcome<N>) -> Option<Change> {
        let Some(event) = outcome.event else { return self.replaced(outcome) };
        let (cause, axis) = cause_word(event.cause);
        let axis = axis.and_then(|axis| u8::try_from(axis).ok());
        let stick = axis.and_then(|axis| outcome.stick.get(axis));
        let (from, to, time_us) = (event.from, event.to, self.time_us);
        let latched = Latch::of(outcome, self.memory.held_before, keeping(self.policy));
        let entry = Entry { time_us, from, to, cause: event.cause, stick, reason: "", meant: None, latched };
        let mut words = sentence(&entry, self.names, self.policy.shared);
        if self.policy.scope == Scope::Axis && latched != Latch::No {
            words = words.replacen("taken over", "whole craft taken over", 1);
        }
        Some(Change {
            time_s: seconds(time_us),
            from: pilot_word(from),
            to: pilot_word(to),
            gains: gains(from, to),
            cause,
            words,
            axis,
        })
    }

    /// The change by a new engine, which begins without an event.
    fn replaced(&self, outcome: &Outcome<N>) -> Option<Change> {
        let (from, to) = (self.memory.replaced?, outcome.pilot);
        let what = if to == Pilot::Nobody { "nobody flies, failsafe is put out" } else { "taken over" };
        (from != to).then(|| Change {
            time_s: seconds(self.time_us),
            from: pilot_word(from),
            to: pilot_word(to),
            gains: gains(from, to),
            cause: "setting",
            words: format!("{what}: a setting was changed"),
            axis: None,
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

/// Who flies more than before.
fn gains(from: Pilot, to: Pilot) -> &'static str {
    match to {
        Pilot::Student(now) if now.is_subset_of(from.student()) => pilot_word(Pilot::Instructor),
        _ => pilot_word(to),
    }
}

fn flags<const N: usize>(axes: AxisSet) -> Vec<bool> {
    (0_u8..).take(N).map(|axis| axes.contains(axis)).collect()
}

fn all(axes: &[handback::Deflection]) -> Vec<f64> {
    axes.iter().map(|axis| points(*axis)).collect()
}
