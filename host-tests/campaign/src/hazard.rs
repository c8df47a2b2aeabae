//! Hazards, and how soon the output is safe: a second judge beside the monitor, which knows deadlines alone.
//!
//! A hazard is a state of the inputs in which the contract demands a safe output, at once or after a time. It is
//! computed from what the engine was given, whichever fault caused it.

use handback::{AxisSet, Deflection, Duration, Frame, Inputs, Instant, Outcome, Pilot, Policy, Rest, Scope};

use crate::AXES;

/// A hazard, and with it the output that is safe then.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hazard {
    Link,
    Frozen,
    Instructor,
    Nobody,
    Bad,
    Off,
    OffFirst,
    Late,
    Button,
    Stick,
}

/// How many hazards there are.
pub(crate) const HAZARDS: usize = 10;

impl Hazard {
    pub(crate) const ALL: [Self; HAZARDS] = [
        Self::Link,
        Self::Frozen,
        Self::Instructor,
        Self::Nobody,
        Self::Bad,
        Self::Off,
        Self::OffFirst,
        Self::Late,
        Self::Button,
        Self::Stick,
    ];

    /// The safe output, and when it is due.
    pub(crate) const fn safe_output(self) -> &'static str {
        match self {
            Self::Link => "the student flies nothing: `timeout` and one step after the last good frame (L1)",
            Self::Frozen => "the student flies nothing: `frozen_after` and one step after the last change (L4)",
            Self::Instructor => "the student flies nothing: `timeout` and one step after the last good frame (I1)",
            Self::Nobody => "the failsafe frame: `failsafe_after` and one step after the last good frame (I2)",
            Self::Bad => "the student flies nothing: in the step of the bad frame (T4)",
            Self::Off => "the student flies nothing: in the step that sees the switch off (S3)",
            Self::OffFirst => "the student flies nothing: until the switch was seen off for `settle` (S2)",
            Self::Late => "the student flies nothing: in the late step (K1)",
            Self::Button => "the student flies nothing: in the step that asks for *instructor now* (T7)",
            Self::Stick => "what a stick takes is the instructor's: in the `confirm`-th frame beyond `engage` (T2)",
        }
    }
}

/// One step of a hazard.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reading {
    /// Time since the hazard began, in microseconds; `None` where it lasts since the start or since a late step.
    pub(crate) since: Option<u64>,
    /// A safe output is due in this step.
    due: bool,
    safe: bool,
    /// The output was unsafe in the step before.
    was_unsafe: bool,
}

impl Reading {
    /// Whether a safe output was due and did not come.
    pub(crate) const fn is_too_late(&self) -> bool {
        self.due && !self.safe
    }

    /// The time from the fault to the safe output, in the step in which the output becomes safe.
    pub(crate) fn response(&self) -> Option<u64> {
        self.since.filter(|_| self.safe && self.was_unsafe)
    }
}

/// Follows all hazards of one engine.
#[derive(Debug)]
pub(crate) struct Watch {
    policy: Policy<AXES>,
    now: u64,
    last: Option<Instant>,
    /// The pilot after the step before, also before a reset.
    before: Pilot,
    instructor: Option<u64>,
    instructor_lost: bool,
    student: Option<u64>,
    changed: Option<(u64, Frame<AXES>)>,
    off: Option<u64>,
    /// Since when the switch must be seen off first.
    off_first: Option<u64>,
    rows: [Option<Row>; AXES],
}

/// Good frames in a row in which a stick is beyond `engage` of its fixed rest.
#[derive(Clone, Copy, Debug)]
struct Row {
    since: u64,
    frames: u32,
}

impl Watch {
    pub(crate) fn new(policy: &Policy<AXES>, before: Pilot) -> Self {
        Self {
            policy: *policy,
            now: 0,
            last: None,
            before,
            instructor: None,
            instructor_lost: true,
            student: None,
            changed: None,
            off: None,
            off_first: Some(0),
            rows: [None; AXES],
        }
    }

    /// The hazards of this step, in the order of [`Hazard::ALL`].
    pub(crate) fn step(
        &mut self,
        now: Instant,
        inputs: &Inputs<'_, AXES>,
        outcome: &Outcome<AXES>,
    ) -> [Option<Reading>; HAZARDS] {
        let policy = self.policy;
        let dt = self.last.map_or(0, |last| now.as_ticks().wrapping_sub(last.as_ticks()));
        self.last = Some(now);
        self.now += u64::from(dt);
        let late = dt > policy.late_step.as_ticks();
        if late {
            (self.instructor, self.student) = (None, None);
        }
        let instructor = good(inputs.instructor, policy.plausible, AxisSet::first(AXES));
        let student = good(inputs.student, policy.plausible, policy.shared);

        let (has, had) = (outcome.pilot.student(), self.before.student());
        let empty = |since, due| Reading { since, due, safe: has.is_empty(), was_unsafe: !had.is_empty() };
        let at_once = |is: bool| is.then(|| empty(Some(0), true));
        let age = |last: Option<u64>| last.map(|last| self.now - last);
        let over = |age: Option<u64>, limit: Duration| age.is_none_or(|age| age > us(limit));

        let (heard, linked) = (age(self.instructor), age(self.student));
        let (lost, unlinked) = (over(heard, policy.timeout), over(linked, policy.timeout));
        let nobody = Reading {
            since: heard,
            due: over(heard, policy.failsafe_after),
            safe: outcome.pilot == Pilot::Nobody && outcome.output == failsafe(&policy),
            was_unsafe: self.before != Pilot::Nobody,
        };
        let readings = [
            (unlinked || student.is_none()).then(|| empty(linked, unlinked)),
            self.frozen(student).map(|(still, due)| empty(Some(still), due)),
            (lost || instructor.is_none()).then(|| empty(heard, lost)),
            instructor.is_none().then_some(nobody),
            at_once(inputs.instructor.is_some() && instructor.is_none()),
            at_once(!inputs.lesson_switch),
            self.off_first(late || (lost && !self.instructor_lost), inputs.lesson_switch)
                .map(|since| empty(Some(since), true)),
            at_once(late),
            at_once(inputs.instructor_now),
            self.stick(instructor, has),
        ];
        self.instructor_lost = lost && instructor.is_none();
        if instructor.is_some() {
            self.instructor = Some(self.now);
        }
        if student.is_some() {
            self.student = Some(self.now);
        }
        self.before = outcome.pilot;
        readings
    }

    /// How long the shared axes have not changed, where they did not change in this step, and whether that is too long.
    fn frozen(&mut self, student: Option<&Frame<AXES>>) -> Option<(u64, bool)> {
        if let Some(frame) = student {
            let same = |last: &Frame<AXES>| self.policy.shared.iter().all(|axis| frame.get(axis) == last.get(axis));
            if !self.changed.is_some_and(|(_, last)| same(&last)) {
                self.changed = Some((self.now, *frame));
            }
        }
        let (limit, (since, _)) = (self.policy.frozen_after?, self.changed?);
        let still = self.now - since;
        (still > 0).then(|| (still, still > us(limit)))
    }

    /// For how long the switch has had to be seen off first, where it must be.
    fn off_first(&mut self, loss: bool, on: bool) -> Option<u64> {
        if loss {
            (self.off_first, self.off) = (Some(self.now), None);
        }
        self.off = if on { None } else { Some(self.off.unwrap_or(self.now)) };
        if self.off.is_some_and(|off| self.now - off >= us(self.policy.settle)) {
            self.off_first = None;
        }
        self.off_first.map(|since| self.now - since)
    }

    /// The watched sticks with a fixed rest.
    fn stick(&mut self, instructor: Option<&Frame<AXES>>, has: AxisSet) -> Option<Reading> {
        let (policy, had) = (&self.policy, self.before.student());
        let mut reading: Option<Reading> = None;
        for axis in policy.watched.iter() {
            let (rule, row) = (&policy.axes[usize::from(axis)], &mut self.rows[usize::from(axis)]);
            let Rest::At(rest) = rule.rest else { continue };
            let mut reached = false;
            if let Some(x) = instructor.and_then(|frame| frame.get(axis)) {
                let beyond = apart(x, rest) > i32::from(rule.engage.to_bits());
                let (since, frames) = row.map_or((self.now, 0), |row| (row.since, row.frames));
                *row = beyond.then_some(Row { since, frames: frames + 1 });
                reached = beyond && frames + 1 == u32::from(rule.confirm);
            }
            let Some(row) = row.filter(|row| row.frames >= u32::from(rule.confirm)) else { continue };
            let alone = policy.scope == Scope::Axis && policy.shared.contains(axis);
            let taken = if alone { AxisSet::of(&[axis]) } else { AxisSet::ALL };
            let this = reading.get_or_insert(Reading { since: None, due: true, safe: true, was_unsafe: false });
            this.safe &= !has.meets(taken);
            if reached && had.meets(taken) {
                this.was_unsafe = true;
                this.since = this.since.max(Some(self.now - row.since));
            }
        }
        reading
    }
}

/// The frame, if all these axes of it are within `plausible`.
fn good(frame: Option<&Frame<AXES>>, plausible: Deflection, matter: AxisSet) -> Option<&Frame<AXES>> {
    let within = |frame: &&Frame<AXES>| {
        matter
            .iter()
            .all(|axis| frame.get(axis).is_none_or(|x| apart(x, Deflection::CENTRE) <= i32::from(plausible.to_bits())))
    };
    frame.filter(within)
}

fn failsafe(policy: &Policy<AXES>) -> Frame<AXES> {
    Frame::new(policy.axes.map(|rule| rule.failsafe))
}

fn apart(a: Deflection, b: Deflection) -> i32 {
    (i32::from(a.to_bits()) - i32::from(b.to_bits())).abs()
}

fn us(d: Duration) -> u64 {
    d.as_ticks().into()
}
