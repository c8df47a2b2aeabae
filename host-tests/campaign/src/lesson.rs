//! Flies one lesson: people, faults, the engine, and the two judges.

use handback::{CheckedPolicy, Engine, Event, Inputs, Instant, Outcome, Pilot};
use handback_monitor::Monitor;

use crate::AXES;
use crate::hazard::{Hazard, Watch};
use crate::injector::{Arrives, Injector};
use crate::people::{Instructor, Student};
use crate::plan::Plan;
use crate::tally::Flown;

/// Flies this lesson to its end, or to the first step that a judge finds wrong.
pub(crate) fn fly(mut plan: Plan) -> Flown {
    let checked = plan.policy.check().expect("a policy that passes its check");
    let (policy, mut random) = (plan.policy, plan.random.clone());
    let mut injectors: Vec<Injector> =
        plan.windows.drain(..).map(|window| Injector::new(window, &policy, &mut random)).collect();
    let windows: Vec<_> = injectors.iter().map(|injector| injector.window).collect();
    let begin = windows.iter().map(|window| window.begin).min().unwrap_or(plan.length / 2);
    let end = windows.iter().map(|window| window.end).max().unwrap_or(begin + 2_000_000);

    let mut flown = Flown::new(plan.row, plan.is_default);
    let mut instructor = Instructor::new(&policy, windows.iter().map(|window| window.begin), &mut random);
    let mut student = Student::new(&mut random);
    let mut judged = Judged::new(&checked, Pilot::Nobody);
    let (mut t, mut dt, mut clock, mut step) = (0, 0, plan.start, 0);
    let mut told = None;
    while t < plan.length {
        let hands = instructor.step(t, dt, &policy, told.as_ref(), &mut random);
        let flies = student.step(t, dt, told.as_ref(), &mut random);
        let mut arrives = Arrives {
            instructor: (step % plan.every[0] == 0).then_some(hands.sticks),
            student: (step % plan.every[1] == 0).then_some(flies),
            switch: hands.switch,
            button: hands.button,
        };
        let flies_now = told.map_or(Pilot::Nobody, |told: Outcome<AXES>| told.pilot);
        for injector in &mut injectors {
            clock = clock.wrapping_add(injector.jump(t, &policy, &mut random));
            if injector.resets(t) {
                judged = Judged::new(&checked, flies_now);
                flown.reset(flies_now);
            }
            injector.change(t, &policy, &mut arrives, &mut random);
        }
        // The first step after a fault may be the one that notices it.
        let in_window = begin <= t && t < end + dt;
        if !flown.begun && begin <= t {
            flown.begins(flies_now);
        }
        let now = Instant::from_ticks(clock);
        let inputs = Inputs {
            instructor: arrives.instructor.as_ref(),
            student: arrives.student.as_ref(),
            lesson_switch: arrives.switch,
            instructor_now: arrives.button,
        };
        let outcome = judged.engine.step(now, inputs);
        flown.step(&outcome);
        let readings = judged.watch.step(now, &inputs, &outcome);
        let late = Hazard::ALL.iter().zip(&readings).find(|(_, reading)| reading.is_some_and(|it| it.is_too_late()));
        let broken = judged.monitor.step(now, &inputs, &outcome).err().map(|broken| broken.to_string());
        if late.is_some() || broken.is_some() {
            flown.wrong = Some(Wrong { step, t, monitor: broken, watch: late.map(|(hazard, _)| hazard.safe_output()) });
            return flown;
        }
        if in_window {
            flown.note(outcome.pilot, hands.slams, &readings);
        }
        if let Some(event) = outcome.event {
            flown.note_event(&event, in_window, hands.idle);
        }
        if t >= end && !outcome.pilot.student().is_empty() {
            flown.back = true;
        }
        told = Some(outcome);
        let delayed = injectors.iter().find_map(|injector| injector.delay(t, &policy, &mut random));
        dt = delayed.unwrap_or_else(|| plan.pace + random.time(0, plan.jitter));
        t += dt;
        clock = clock.wrapping_add(u32::try_from(dt).expect("a short step"));
        step += 1;
    }
    flown
}

/// What a judge found wrong, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Wrong {
    pub(crate) step: u64,
    pub(crate) t: u64,
    /// The broken rules.
    pub(crate) monitor: Option<String>,
    /// The safe output that did not come in time.
    pub(crate) watch: Option<&'static str>,
}

/// An engine and its judges, from one start of the engine to the next.
struct Judged<'p> {
    engine: Engine<AXES, &'p CheckedPolicy<AXES>>,
    monitor: Monitor<AXES>,
    watch: Watch,
}

impl<'p> Judged<'p> {
    fn new(policy: &'p CheckedPolicy<AXES>, before: Pilot) -> Self {
        Self { engine: Engine::new(policy), monitor: Monitor::new(policy), watch: Watch::new(policy.policy(), before) }
    }
}

/// Whether the student lost an axis in this event.
pub(crate) fn loses(event: &Event) -> bool {
    !event.from.student().is_subset_of(event.to.student())
}

impl Wrong {
    /// What is wrong, in words.
    pub(crate) fn text(&self) -> String {
        let late = self.watch.map(|safe| format!("safe output too late: {safe}"));
        self.monitor.iter().cloned().chain(late).collect::<Vec<_>>().join("; ")
    }
}
