//! The box: from edges to the pilot and the pulses for the craft.

use handback::cue::{CheckedCueRules, Cues, Signs};
use handback::ppm::{Decoder, Edge, Tally};
use handback::{CheckedPolicy, Engine, Inputs, Instant, Outcome, Pilot, Pulse, Reception};

use crate::check::{Check, HELD};
use crate::first_fault::{FirstFault, Watch};
use crate::log::{Entry, Log, Told, What};
use crate::plan::CheckedPlan;
use crate::recording::{Received, Recording, Row, passed, same_to_people};

/// The engine takes a step at least this often, in microseconds, also where no frame comes.
const EVERY: u32 = 10_000;

/// One of the two transmitters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Side {
    /// The instructor's.
    Instructor,
    /// The student's.
    Student,
}

/// The instructor's switch and button.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Desk {
    /// Whether the lesson switch is seen on. It may bounce (S3).
    pub lesson_switch: bool,
    /// Whether the instructor-now button is pressed (T7).
    pub instructor_now: bool,
}

/// The result of one step of the box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[must_use = "the pulses are what the craft must be sent"]
pub struct Step<const N: usize, const M: usize> {
    /// The outcome of the engine's last step. Its event, receptions and late step are told once, in the step of the box
    /// in which the engine took it ([`TrainerBox::row`]). During the check of the bench the craft gets another throttle
    /// than its output has.
    pub outcome: Outcome<N>,
    /// The states of lamp, beeper, vibration motor and voice.
    pub signs: Signs,
    /// The pulses for the craft; `None` where nobody flies, so that there are no pulses (I2).
    pub pulses: Option<[Pulse; M]>,
}

/// The box: `N` axes, an instructor's train of `M` channels, a student's train of `S` channels.
///
/// It keeps no state over a reset. It starts with the craft in the instructor's hands, and the lesson switch must be
/// seen off before it can hand over (S1, S2).
#[derive(Clone, Debug)]
pub struct TrainerBox<'p, const N: usize, const M: usize, const S: usize> {
    plan: &'p CheckedPlan<N, M, S>,
    instructor: Decoder<M>,
    student: Decoder<S>,
    engine: Engine<N, &'p CheckedPolicy<N>>,
    recording: Recording,
    /// The result of the engine's last step, which stands until the next.
    last: Option<Last<N, M>>,
    /// The engine's step in the last call of `step`.
    row: Option<Row<N, M, S>>,
    cues: Cues<&'p CheckedCueRules>,
    /// The start of the box, while the button has been held since then, the lesson switch has been off, and no train of
    /// the instructor has come; otherwise `None`.
    held_since: Option<Instant>,
    /// The check of the bench, where it has begun.
    check: Option<Check<'p, N>>,
    /// Whether the check waits for [`set_up`](Self::set_up) to end, and nothing is sent to the craft.
    set_up: bool,
    /// The instructor's last train with a good frame, from which the channels without an axis come.
    others: Option<[Pulse; M]>,
    /// The last complete trains, whether or not their sticks are in range, for people who set up the box.
    trains: (Option<[Pulse; M]>, Option<[Pulse; S]>),
    /// Whether the engine has not taken a step yet.
    begins: bool,
    /// Whether the last step returned pulses.
    sends: bool,
    told: [Told; 2],
    /// What is wrong with the instructor's and the student's train.
    watched: [Watch; 2],
    log: Log,
}

#[derive(Clone, Copy, Debug)]
struct Last<const N: usize, const M: usize> {
    outcome: Outcome<N>,
    pulses: Option<[Pulse; M]>,
    desk: Desk,
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
            recording: Recording::new(now),
            last: None,
            row: None,
            cues: Cues::new(&plan.cues),
            held_since: Some(now),
            check: None,
            set_up: false,
            others: None,
            trains: (None, None),
            begins: true,
            sends: false,
            told: [Told::default(); 2],
            watched: [
                Watch::new(plan.instructor_train.setup(), plan.instructor_train.channels(), now),
                Watch::new(plan.student_train.setup(), plan.student_train.channels(), now),
            ],
            log,
        }
    }

    /// Takes an edge on the line of this transmitter. Both edges of each pulse must come in order, and edges before the
    /// instant of a step must come before that step.
    pub fn edge(&mut self, side: Side, edge: Edge) {
        self.watch(side).edge(edge);
        match side {
            Side::Instructor => self.instructor.edge(edge),
            Side::Student => self.student.edge(edge),
        }
    }

    /// Takes note that edges of this transmitter were lost.
    pub fn overrun(&mut self, side: Side) {
        self.watch(side).overrun();
        match side {
            Side::Instructor => self.instructor.overrun(),
            Side::Student => self.student.overrun(),
        }
    }

    /// Takes one step; the firmware calls it about every millisecond. After a late step the instructor has the craft
    /// (K1).
    ///
    /// The engine takes a step only where a frame of either side came, the desk changed, or 10 ms have passed since its
    /// last step. In between its last outcome stands, and only the rhythms of lamp and beeper go on.
    pub fn step(&mut self, now: Instant, desk: Desk) -> Step<N, M> {
        let instructor = self.instructor.poll(now);
        let student = self.student.poll(now);
        self.trains = (instructor.or(self.trains.0), student.or(self.trains.1));
        let [of_instructor, of_student] = &mut self.watched;
        of_instructor.look(now, instructor.is_some());
        of_student.look(now, student.is_some());
        let began = self.begin_check(now, desk, instructor.is_some());
        self.row = None;
        if let Some(last) = self.last
            && !began
            && (instructor, student, desk) == (None, None, last.desk)
            && passed(last.outcome.at, now) < EVERY
        {
            return self.stand(now, &last);
        }
        let instructor = instructor.map(|train| Received { train, frame: self.plan.instructor.frame(&train) });
        let student = student.map(|train| Received { train, frame: self.plan.student.frame(&train) });
        let inputs = Inputs {
            instructor: instructor.as_ref().map(|received| &received.frame),
            student: student.as_ref().map(|received| &received.frame),
            lesson_switch: desk.lesson_switch,
            instructor_now: desk.instructor_now,
        };
        let (outcome, begins) = self.decide(now, inputs, desk);
        let check = self.recording.add(&outcome);
        self.row = Some(Row { begins, at: now, desk, instructor, student, check });
        let (output, signs) = match &mut self.check {
            Some(_) if self.set_up => (outcome.output, Signs::default()),
            Some(check) => check.step(inputs, &outcome, &mut self.log),
            None => (outcome.output, self.cues.step(&outcome)),
        };
        if outcome.instructor == Reception::Good {
            self.others = instructor.map(|received| received.train);
        }
        let pulses = match outcome.pilot {
            Pilot::Nobody => None,
            _ if self.set_up => None,
            Pilot::Instructor | Pilot::Student(_) => {
                self.others.and_then(|others| self.plan.craft.readings(&output, others))
            }
        };
        self.note(&outcome, now, pulses.is_some());
        let [of_instructor, of_student] = &mut self.watched;
        of_instructor.judged(now, outcome.instructor);
        of_student.judged(now, outcome.student);
        let told = Outcome { event: None, instructor: Reception::Nothing, student: Reception::Nothing, ..outcome };
        self.last = Some(Last { outcome: Outcome { late_step: false, ..told }, pulses, desk });
        Step { outcome, signs, pulses }
    }

    /// Takes one step of the engine. Where a new recording may begin, a new engine takes the same step; it stays if
    /// nobody notices the change. Says whether the engine is new.
    fn decide(&mut self, now: Instant, inputs: Inputs<'_, N>, desk: Desk) -> (Outcome<N>, bool) {
        let policy = &self.plan.policy;
        let outcome = self.engine.step(now, inputs);
        let may_end = self.recording.may_end(desk, &outcome, policy.policy().fade.as_ticks());
        // The check of the bench follows one engine from beginning to end.
        if may_end && self.check.is_none() {
            let mut engine = Engine::new(policy);
            let first = engine.step(now, inputs);
            if same_to_people(&outcome, &first) {
                (self.engine, self.recording) = (engine, Recording::new(now));
                return (first, true);
            }
        }
        (outcome, core::mem::take(&mut self.begins))
    }

    /// A step of the box between two steps of the engine.
    fn stand(&mut self, now: Instant, last: &Last<N, M>) -> Step<N, M> {
        let signs = match &mut self.check {
            Some(_) if self.set_up => Signs::default(),
            Some(check) => check.look(now),
            None => self.cues.look(now),
        };
        self.note(&last.outcome, now, last.pulses.is_some());
        Step { outcome: last.outcome, signs, pulses: last.pulses }
    }

    /// Begins the check where the button has been held since the start, unbroken, with the switch off and no train from
    /// the instructor. That happens on a bench with the transmitters off, and never in the air. Says whether it began.
    fn begin_check(&mut self, now: Instant, desk: Desk, instructor_sends: bool) -> bool {
        let Some(since) = self.held_since else { return false };
        if !desk.instructor_now || desk.lesson_switch || instructor_sends {
            self.held_since = None;
        } else if passed(since, now) >= HELD {
            self.held_since = None;
            self.new_check(now);
            return true;
        }
        false
    }

    /// Engine and check both start from the beginning, since the check compares every step of the engine.
    fn new_check(&mut self, now: Instant) {
        self.engine = Engine::new(&self.plan.policy);
        (self.recording, self.begins) = (Recording::new(now), true);
        self.check = Some(Check::new(&self.plan.policy, &self.plan.student, now));
        self.log.note(now, What::CheckBegins);
    }

    /// Begins or ends a set-up on the bench, such as learning the sticks: while it lasts, the check waits, the box shows
    /// nothing, and nothing is sent to the craft, so that the receiver's failsafe acts. At its end a new check waits for
    /// its start. Off the bench, or where the check has begun, nothing changes.
    pub fn set_up(&mut self, now: Instant, on: bool) {
        if on != self.set_up && self.check.as_ref().is_some_and(|check| check.waits) {
            self.set_up = on;
            self.new_check(now);
            self.last = None;
        }
    }

    /// Whether a set-up may begin: the check of the bench waits for its start.
    pub const fn may_set_up(&self) -> bool {
        match &self.check {
            Some(check) => check.waits && !self.set_up,
            None => false,
        }
    }

    /// The engine's step in the last call of [`step`](Self::step), for a recording; `None` where its last outcome
    /// stood.
    pub const fn row(&self) -> Option<&Row<N, M, S>> {
        self.row.as_ref()
    }

    /// Whether the box checks the bench, so that it does not fly until it is powered off and on.
    pub const fn on_bench(&self) -> bool {
        self.check.is_some()
    }

    /// The fault that [`Notice`](crate::Notice) tells: the instructor's first, then the student's.
    pub fn first_fault(&self) -> Option<FirstFault> {
        let [instructor, student] = &self.watched;
        let lesson = self.last.is_some_and(|last| last.desk.lesson_switch);
        let of = |side, kind| FirstFault { side, kind };
        let first = instructor.fault(true).map(|kind| of(Side::Instructor, kind));
        first.or_else(|| student.fault(lesson).map(|kind| of(Side::Student, kind)))
    }

    /// The plan by which it flies.
    pub const fn plan(&self) -> &'p CheckedPlan<N, M, S> {
        self.plan
    }

    /// Removes and returns the oldest entry of the log.
    pub fn next_entry(&mut self) -> Option<Entry> {
        self.log.next()
    }

    /// The last complete trains of the instructor and of the student. They show where a stick rests and ends, for the
    /// plan.
    pub const fn trains(&self) -> (Option<&[Pulse; M]>, Option<&[Pulse; S]>) {
        (self.trains.0.as_ref(), self.trains.1.as_ref())
    }

    /// The counts of good and dropped frames of this transmitter's train.
    pub const fn tally(&self, side: Side) -> &Tally {
        match side {
            Side::Instructor => self.instructor.tally(),
            Side::Student => self.student.tally(),
        }
    }

    const fn watch(&mut self, side: Side) -> &mut Watch {
        let [instructor, student] = &mut self.watched;
        match side {
            Side::Instructor => instructor,
            Side::Student => student,
        }
    }

    fn note(&mut self, outcome: &Outcome<N>, at: Instant, sends: bool) {
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
