//! From edges to who flies and what is sent.

use handback::cue::{CheckedCueRules, Cues, Signs};
use handback::ppm::{Decoder, Edge, Tally};
use handback::{CheckedPolicy, Engine, Inputs, Instant, Outcome, Pilot, Pulse, Reception};

use crate::check::{Check, HELD};
use crate::log::{Entry, Log, Told, What};
use crate::plan::CheckedPlan;

/// One of the two transmitters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Side {
    /// The instructor's.
    Instructor,
    /// The student's.
    Student,
}

/// What lies at the instructor's hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Desk {
    /// Whether the lesson switch is seen on. It may bounce (S3).
    pub lesson_switch: bool,
    /// Whether the instructor-now button is pressed (T7).
    pub instructor_now: bool,
}

/// What one step of the box says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[must_use = "the pulses are what the craft must be sent"]
pub struct Step<const N: usize, const M: usize> {
    /// What the engine says. While the bench is checked the craft is sent the same but for the throttle.
    pub outcome: Outcome<N>,
    /// What lamp, beeper, vibration motor and voice are to do.
    pub signs: Signs,
    /// What the craft is to be sent; `None` where nobody flies and there are to be no pulses (I2).
    pub pulses: Option<[Pulse; M]>,
}

/// The box: `N` axes, an instructor's train of `M` channels, a student's of `S`.
///
/// Nothing of it outlives a reset: it starts with the craft in the instructor's hands, and a lesson switch that is on
/// must be seen off before it means anything (S1, S2).
#[derive(Clone, Debug)]
pub struct TrainerBox<'p, const N: usize, const M: usize, const S: usize> {
    plan: &'p CheckedPlan<N, M, S>,
    instructor: Decoder<M>,
    student: Decoder<S>,
    engine: Engine<N, &'p CheckedPolicy<N>>,
    cues: Cues<&'p CheckedCueRules>,
    /// The button has been held since then, from the start on, and the instructor's transmitter is still off.
    held_since: Option<Instant>,
    /// The check of the bench, where the box was started for it.
    check: Option<Check<'p, N>>,
    /// The instructor's last train whose frame was good: where the channels without an axis come from.
    others: Option<[Pulse; M]>,
    /// The last trains that were read, whether or not their sticks are in range: for people who set the box up.
    trains: (Option<[Pulse; M]>, Option<[Pulse; S]>),
    /// Whether the last step had pulses sent.
    sends: bool,
    told: [Told; 2],
    log: Log,
}

impl<'p, const N: usize, const M: usize, const S: usize> TrainerBox<'p, N, M, S> {
    /// A box that has just started.
    pub fn new(plan: &'p CheckedPlan<N, M, S>, now: Instant) -> Self {
        let mut log = Log::default();
        log.note(now, What::Started);
        Self {
            plan,
            instructor: plan.instructor_train.clone(),
            student: plan.student_train.clone(),
            engine: Engine::new(&plan.policy),
            cues: Cues::new(&plan.cues),
            held_since: Some(now),
            check: None,
            others: None,
            trains: (None, None),
            sends: false,
            told: [Told::default(); 2],
            log,
        }
    }

    /// The line of this transmitter changed its level. Both edges of each pulse, in order; those that happened before a
    /// step's instant before that step.
    pub fn edge(&mut self, side: Side, edge: Edge) {
        match side {
            Side::Instructor => self.instructor.edge(edge),
            Side::Student => self.student.edge(edge),
        }
    }

    /// Edges of this transmitter were lost on the way here.
    pub fn overrun(&mut self, side: Side) {
        match side {
            Side::Instructor => self.instructor.overrun(),
            Side::Student => self.student.overrun(),
        }
    }

    /// One step, each millisecond or so. A step that comes too late is a late step, and the craft is the instructor's (K1).
    pub fn step(&mut self, now: Instant, desk: Desk) -> Step<N, M> {
        let train = self.instructor.poll(now);
        let instructor = train.map(|train| self.plan.instructor.frame(&train));
        let student_train = self.student.poll(now);
        let student = student_train.map(|train| self.plan.student.frame(&train));
        self.trains = (train.or(self.trains.0), student_train.or(self.trains.1));
        let Desk { lesson_switch, instructor_now } = desk;
        let inputs =
            Inputs { instructor: instructor.as_ref(), student: student.as_ref(), lesson_switch, instructor_now };
        self.begin_check(now, desk, train.is_some());
        let outcome = self.engine.step(now, inputs);
        let (output, signs) = match &mut self.check {
            Some(check) => check.step(inputs, &outcome, &mut self.log),
            None => (outcome.output, self.cues.step(&outcome)),
        };
        if outcome.instructor == Reception::Good {
            self.others = train;
        }
        let pulses = match outcome.pilot {
            Pilot::Nobody => None,
            Pilot::Instructor | Pilot::Student(_) => {
                self.others.and_then(|others| self.plan.craft.readings(&output, others))
            }
        };
        self.note(&outcome, pulses.is_some());
        Step { outcome, signs, pulses }
    }

    /// The check begins where the button is held from the start on, unbroken, with the switch off, and nothing comes from
    /// the instructor: on a bench where the transmitters are still off, and never in the air.
    fn begin_check(&mut self, now: Instant, desk: Desk, instructor_sends: bool) {
        let Some(since) = self.held_since else { return };
        if !desk.instructor_now || desk.lesson_switch || instructor_sends {
            self.held_since = None;
        } else if now.as_ticks().wrapping_sub(since.as_ticks()) >= HELD {
            self.held_since = None;
            // Both from the beginning, since each step of the one is held against the other.
            self.engine = Engine::new(&self.plan.policy);
            self.check = Some(Check::new(&self.plan.policy, &self.plan.student, now));
            self.log.note(now, What::CheckBegins);
        }
    }

    /// The oldest entry of the log, once.
    pub fn next_entry(&mut self) -> Option<Entry> {
        self.log.next()
    }

    /// The last trains that were read, the instructor's and the student's: where a stick rests and ends, to write it
    /// into the plan.
    pub const fn trains(&self) -> (Option<&[Pulse; M]>, Option<&[Pulse; S]>) {
        (self.trains.0.as_ref(), self.trains.1.as_ref())
    }

    /// What was seen of this transmitter's train.
    pub const fn tally(&self, side: Side) -> &Tally {
        match side {
            Side::Instructor => self.instructor.tally(),
            Side::Student => self.student.tally(),
        }
    }

    fn note(&mut self, outcome: &Outcome<N>, sends: bool) {
        let at = outcome.at;
        if let Some(event) = outcome.event {
            self.log.note(at, What::Changed(event));
        }
        if sends != self.sends {
            self.sends = sends;
            self.log.note(at, if sends { What::TrainBegins } else { What::TrainStops });
        }
        let [instructor, student] = &mut self.told;
        let bad = outcome.instructor == Reception::Bad;
        instructor.tell(at, Side::Instructor, self.instructor.tally(), bad, &mut self.log);
        let bad = outcome.student == Reception::Bad;
        student.tell(at, Side::Student, self.student.tally(), bad, &mut self.log);
    }
}
