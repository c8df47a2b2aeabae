//! A scripted lesson: sticks stay where they were put, both frames arrive in every step, and a step is 20 ms long.

use handback::{Deflection, Duration, Event, Frame, Inputs, Instant, Outcome, Policy};
use handback_monitor::{Broken, Monitor};

use crate::policies::{LEAST_SETTLE, sprung};
use crate::quantities::{points, us};
use crate::twin::Twin;

/// The length of an ordinary step: 50 frames a second.
pub const STEP: Duration = us(20_000);

/// A scripted lesson. A method that sets a stick or a switch changes the inputs of the *next* steps.
#[derive(Clone, Debug)]
pub struct Lesson<const N: usize> {
    policy: Policy<N>,
    twin: Twin<N>,
    monitor: Monitor<N>,
    now: Instant,
    instructor: Side<N>,
    student: Side<N>,
    switch: bool,
    instructor_now: bool,
    outcome: Option<Outcome<N>>,
    events: Vec<Event>,
}

/// One side's sticks, and whether its frames arrive.
#[derive(Clone, Copy, Debug)]
struct Side<const N: usize> {
    sticks: Frame<N>,
    arrives: bool,
}

impl<const N: usize> Side<N> {
    const CENTRED: Self = Self { sticks: Frame::CENTRE, arrives: true };

    fn put(&mut self, axis: u8, at: Deflection) {
        *self.sticks.axes_mut().get_mut(usize::from(axis)).expect("an axis of the frame") = at;
    }

    fn frame(&self) -> Option<&Frame<N>> {
        self.arrives.then_some(&self.sticks)
    }
}

/// A lesson with four sprung axes and every default: sticks centred, switch off, frames of both sides arriving.
pub fn lesson() -> Lesson<4> {
    lesson_with(sprung())
}

/// A lesson with this policy.
///
/// # Panics
/// If the policy does not pass its check.
pub fn lesson_with<const N: usize>(policy: Policy<N>) -> Lesson<N> {
    let checked = policy.check().unwrap_or_else(|why| panic!("{why}"));
    Lesson {
        policy,
        twin: Twin::new(&checked),
        monitor: Monitor::new(&checked),
        now: Instant::from_ticks(0),
        instructor: Side::CENTRED,
        student: Side::CENTRED,
        switch: false,
        instructor_now: false,
        outcome: None,
        events: Vec::new(),
    }
}

/// The inputs of the next steps.
impl<const N: usize> Lesson<N> {
    /// Sets the instant of the first step.
    #[must_use]
    pub fn starting_at(mut self, ticks: u32) -> Self {
        self.now = Instant::from_ticks(ticks);
        self
    }

    /// The instructor puts one stick at a deflection.
    #[must_use]
    pub fn instructor(mut self, axis: u8, at: Deflection) -> Self {
        self.instructor.put(axis, at);
        self
    }

    /// The instructor puts all sticks at these deflections, axis 0 first.
    #[must_use]
    pub fn instructor_sticks(mut self, at: [Deflection; N]) -> Self {
        self.instructor.sticks = Frame::new(at);
        self
    }

    /// The instructor puts the stick of axis 0 at `to` points.
    #[must_use]
    pub fn roll(self, to: i16) -> Self {
        self.instructor(0, points(to))
    }

    /// The student puts one stick at a deflection.
    #[must_use]
    pub fn student(mut self, axis: u8, at: Deflection) -> Self {
        self.student.put(axis, at);
        self
    }

    /// The student puts all sticks at these deflections, axis 0 first.
    #[must_use]
    pub fn student_sticks(mut self, at: [Deflection; N]) -> Self {
        self.student.sticks = Frame::new(at);
        self
    }

    /// The lesson switch is turned on.
    #[must_use]
    pub fn switch_on(mut self) -> Self {
        self.switch = true;
        self
    }

    /// The lesson switch is turned off.
    #[must_use]
    pub fn switch_off(mut self) -> Self {
        self.switch = false;
        self
    }

    /// Whether *instructor now* is asked for.
    #[must_use]
    pub fn instructor_now(mut self, asked: bool) -> Self {
        self.instructor_now = asked;
        self
    }

    /// Whether the instructor's frames arrive.
    #[must_use]
    pub fn instructor_frames(mut self, arrive: bool) -> Self {
        self.instructor.arrives = arrive;
        self
    }

    /// Whether the student's frames arrive.
    #[must_use]
    pub fn student_frames(mut self, arrive: bool) -> Self {
        self.student.arrives = arrive;
        self
    }
}

/// Steps.
impl<const N: usize> Lesson<N> {
    /// One step of 20 ms (0 if it is the first step).
    #[must_use]
    pub fn step(self) -> Self {
        self.step_of(STEP)
    }

    /// One step, so long after the one before (the first one of all has no length).
    ///
    /// # Panics
    /// Where the reference decides otherwise, or the monitor finds a rule broken.
    #[must_use]
    pub fn step_of(mut self, dt: Duration) -> Self {
        if let Err(broken) = self.judged(dt, |_| {}) {
            panic!("{broken}");
        }
        self
    }

    /// One step of 20 ms whose outcome is changed before the monitor sees it: what the monitor says of it.
    ///
    /// # Panics
    /// Where the monitor finds nothing wrong.
    #[must_use]
    pub fn broken_by(self, change: impl FnOnce(&mut Outcome<N>)) -> Broken {
        self.broken_after(STEP, change)
    }

    /// The same for a step of another length.
    ///
    /// # Panics
    /// Where the monitor finds nothing wrong.
    #[must_use]
    pub fn broken_after(mut self, dt: Duration, change: impl FnOnce(&mut Outcome<N>)) -> Broken {
        self.judged(dt, change).expect_err("the monitor passed an outcome that breaks a rule")
    }

    /// One step, its outcome changed, as the monitor judges it.
    fn judged(&mut self, dt: Duration, change: impl FnOnce(&mut Outcome<N>)) -> Result<(), Broken> {
        if self.outcome.is_some() {
            self.now = Instant::from_ticks(self.now.as_ticks().wrapping_add(dt.as_ticks()));
        }
        let inputs = Inputs {
            instructor: self.instructor.frame(),
            student: self.student.frame(),
            lesson_switch: self.switch,
            instructor_now: self.instructor_now,
        };
        let mut outcome = self.twin.step(self.now, inputs);
        change(&mut outcome);
        let judged = self.monitor.step(self.now, &inputs, &outcome);
        self.events.extend(outcome.event);
        self.outcome = Some(outcome);
        judged
    }

    /// `count` steps of 20 ms.
    #[must_use]
    pub fn steps(self, count: u32) -> Self {
        (0..count).fold(self, |lesson, _| lesson.step())
    }

    /// Steps of 20 ms, and a shorter last one if needed, that last `time` together.
    #[must_use]
    pub fn pass(self, time: Duration) -> Self {
        let (whole, rest) = (time.as_ticks() / STEP.as_ticks(), time.as_ticks() % STEP.as_ticks());
        let lesson = self.steps(whole);
        if rest == 0 { lesson } else { lesson.step_of(us(rest)) }
    }

    /// One step without the instructor's frame.
    #[must_use]
    pub fn step_without_instructor(self) -> Self {
        self.instructor_frames(false).step().instructor_frames(true)
    }

    /// One step in which the instructor's frame is bad: its last axis has the largest deflection.
    #[must_use]
    pub fn step_with_bad_frame(mut self) -> Self {
        let good = self.instructor.sticks;
        if let Some(last) = self.instructor.sticks.axes_mut().last_mut() {
            *last = Deflection::MAX;
        }
        let mut after = self.step();
        after.instructor.sticks = good;
        after
    }

    /// The switch stays off until it has been seen off first, and is then turned on. No other input changes, so the
    /// test decides whether the student gets the craft.
    ///
    /// With the least `settle`, one step sees the switch on; it takes effect in the step after that.
    #[must_use]
    pub fn off_first_and_on(self) -> Self {
        let settle = self.policy.settle;
        let on = self.switch_off().step().pass(settle).switch_on();
        if settle == LEAST_SETTLE { on.step_of(settle) } else { on }
    }

    /// Turns the switch on and goes on to the first step in which the student has every shared axis.
    ///
    /// # Panics
    /// If that takes longer than `settle`, `dwell` and `requalify` together, and a few steps.
    #[must_use]
    pub fn student_just_got_it(self) -> Self {
        let waits = [self.policy.settle, self.policy.dwell, self.policy.requalify].map(|d| d.as_ticks() / 20_000 + 4);
        let mut lesson = self.off_first_and_on();
        for _ in 0..waits.iter().sum() {
            lesson = lesson.step();
            if lesson.outcome().pilot.student() == lesson.policy.shared {
                return lesson;
            }
        }
        panic!("the student did not get the craft: {:?}", lesson.outcome())
    }

    /// Turns the switch on and goes on until the student has every shared axis and the fade is over.
    #[must_use]
    pub fn student_flying(self) -> Self {
        let fade = self.policy.fade;
        self.student_just_got_it().pass(fade).student_has_all()
    }
}

/// Results.
impl<const N: usize> Lesson<N> {
    /// The outcome of the last step.
    ///
    /// # Panics
    /// Before the first step.
    pub fn outcome(&self) -> &Outcome<N> {
        self.outcome.as_ref().expect("a lesson with at least one step")
    }

    /// The output of an axis in the last step.
    ///
    /// # Panics
    /// If the frame does not have the axis.
    pub fn output(&self, axis: u8) -> Deflection {
        self.outcome().output.get(axis).expect("an axis of the frame")
    }

    /// Every event since the lesson began.
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// The policy.
    pub fn policy(&self) -> &Policy<N> {
        &self.policy
    }
}
