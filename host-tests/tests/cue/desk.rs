//! A lesson with its cues: the outcome of every step goes to the cues, and their signs are kept.

use handback::cue::{CheckedCueRules, Cue, CueRules, Cues, Signs, Voice};
use handback::{
    AxisSet, Cause, Deflection, Duration, Event, Frame, Instant, Link, Outcome, Pilot, Policy, Reception, Waiting,
};
use handback_host_tests::{Lesson, lesson_with, sprung};

/// A lesson and its cues.
pub(crate) struct Desk<const N: usize> {
    lesson: Option<Lesson<N>>,
    cues: Cues<CheckedCueRules>,
    /// The signs of each step since the test last changed something.
    pub(crate) signs: Vec<Signs>,
    /// The cues that began, each with the number of its step.
    pub(crate) began: Vec<(usize, Cue)>,
    step: usize,
}

pub(crate) fn checked(rules: &CueRules) -> CheckedCueRules {
    rules.check().unwrap_or_else(|why| panic!("{why}"))
}

/// Four sprung axes, and the default cues.
pub(crate) fn desk() -> Desk<4> {
    desk_with(sprung(), &CueRules::new())
}

pub(crate) fn desk_with<const N: usize>(policy: Policy<N>, rules: &CueRules) -> Desk<N> {
    Desk {
        lesson: Some(lesson_with(policy)),
        cues: Cues::new(checked(rules)),
        signs: Vec::new(),
        began: Vec::new(),
        step: 0,
    }
}

impl<const N: usize> Desk<N> {
    /// Changes the inputs of the lesson from the next step on.
    pub(crate) fn change(mut self, change: impl FnOnce(Lesson<N>) -> Lesson<N>) -> Self {
        self.lesson = self.lesson.map(change);
        self.signs.clear();
        self
    }

    /// Takes `count` steps of 20 ms.
    pub(crate) fn steps(mut self, count: usize) -> Self {
        for _ in 0..count {
            self = self.step_of(Duration::from_ticks(20_000));
        }
        self
    }

    pub(crate) fn step_of(mut self, dt: Duration) -> Self {
        self.lesson = self.lesson.map(|lesson| lesson.step_of(dt));
        let outcome = *self.lesson().outcome();
        let signs = self.cues.step(&outcome);
        self.began.extend(signs.begun.map(|cue| (self.step, cue)));
        self.signs.push(signs);
        self.step += 1;
        self
    }

    /// Turns the lesson switch on and steps until the student flies and the cue of it is over.
    pub(crate) fn student_flying(self) -> Self {
        let flying = self.steps(80).change(Lesson::switch_on).steps(300);
        let student = flying.lesson().outcome().pilot.student();
        assert!(!student.is_empty(), "the student does not fly: {:?}", flying.lesson().outcome());
        flying.steps(100)
    }

    pub(crate) fn lesson(&self) -> &Lesson<N> {
        self.lesson.as_ref().expect("a lesson")
    }

    pub(crate) fn cues_of_lesson(&self) -> Vec<Cue> {
        self.began.iter().map(|&(_, cue)| cue).collect()
    }

    pub(crate) fn beeps(&self) -> Vec<bool> {
        self.signs.iter().map(|signs| signs.beeper).collect()
    }
}

/// An outcome as an engine might give it, so that changes can come in any order.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Told {
    pub(crate) pilot: Pilot,
    pub(crate) event: Option<Event>,
    pub(crate) waiting: Option<Waiting>,
}

pub(crate) const SOME: AxisSet = AxisSet::of(&[0]);
pub(crate) const ALL: AxisSet = AxisSet::of(&[0, 1]);

impl Told {
    pub(crate) const START: Self = Self { pilot: Pilot::Instructor, event: None, waiting: Some(Waiting::Switch) };

    /// The change that this cue announces.
    pub(crate) fn change(cue: Cue) -> Self {
        let (pilot, cause, waiting) = match cue {
            Cue::Taken => (Pilot::Instructor, Cause::Stick(0), Some(Waiting::Held(0))),
            Cue::Lost => (Pilot::Instructor, Cause::LinkLost, Some(Waiting::SwitchOffFirst)),
            Cue::Nobody => (Pilot::Nobody, Cause::InstructorLost, Some(Waiting::InstructorSignal)),
            Cue::HandedBack => (Pilot::Student(ALL), Cause::HandedBack, None),
            Cue::Both => (Pilot::Student(SOME), Cause::HandedBack, Some(Waiting::Gate(1))),
            Cue::Offer => {
                return Self { waiting: Some(Waiting::Gate(0)), ..Self::START };
            }
        };
        let at = Instant::from_ticks(0);
        Self { pilot, event: Some(Event { at, from: Pilot::Instructor, to: pilot, cause }), waiting }
    }

    /// The outcome of the step after, in which nothing changes.
    pub(crate) fn goes_on(self) -> Self {
        Self { event: None, ..self }
    }

    pub(crate) fn outcome(self, at: Instant) -> Outcome<2> {
        Outcome {
            at,
            output: Frame::CENTRE,
            pilot: self.pilot,
            event: self.event,
            waiting: self.waiting,
            held: AxisSet::EMPTY,
            pickup: AxisSet::EMPTY,
            stick: Frame::new([Deflection::CENTRE; 2]),
            instructor: Reception::Good,
            student: Reception::Good,
            instructor_lost: false,
            link: Link::Good,
            late_step: false,
        }
    }
}

/// The phrases that began, in order.
pub(crate) fn said(signs: &[Signs]) -> Vec<Voice> {
    signs.iter().filter_map(|signs| signs.voice).collect()
}
