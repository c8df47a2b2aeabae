//! The step of a live lesson: the craft flies, people act, the engine decides.

use std::path::Path;

use handback::{CheckedPolicy, Deflection, Frame, Outcome};
use seeded::Random;

use super::beside::Beside;
use super::costs::{self, Costs};
use super::flown::{self, Flown, Stream, stream};
use super::input::{self, Input, Link};
use super::memory::Memory;
use super::plan::{Axis, Craft, Plan, Student};
use super::reaction::{Reaction, Watched};
use super::recording::{Recording, Saved};
use super::settings::{self, Setting};
use super::state::State;
use super::{FRAME_US, Flying, edit, telling};
use crate::error::Fault;
use crate::policy::{PolicyFile, TomlPolicy, checked, default_policy};
use crate::row::Row;
use crate::scenario::fraction;

/// What messages call the policy of a live lesson.
const POLICY: &str = "policy.toml";

/// A lesson with `N` axes.
pub(super) struct Lesson<const N: usize> {
    craft: Craft,
    names: Vec<String>,
    policy: CheckedPolicy<N>,
    flown: Box<dyn Flown>,
    /// Who sits at the student's sticks.
    who: Student,
    noise: Random,
    time_us: u64,
    /// The instructor's and the student's last frame.
    instructor: Option<Frame<N>>,
    student: Option<Frame<N>>,
    last: Option<Outcome<N>>,
    beside: Beside<N>,
    recording: Recording,
    reaction: Reaction,
    memory: Memory<N>,
}

impl<const N: usize> Lesson<N> {
    pub(super) fn begin(plan: &Plan) -> Result<Self, Fault> {
        let names: Vec<String> = plan.craft.axes().into_iter().map(|axis| axis.name).collect();
        let policy = match &plan.policy {
            Some(text) => read(text.clone(), &names)?,
            None => checked(default_policy(&names), Path::new(POLICY))?,
        };
        Ok(Self {
            craft: plan.craft,
            policy,
            flown: flown::of(plan),
            who: plan.student,
            noise: stream(plan.seed, Stream::Noise, 0),
            time_us: 0,
            instructor: None,
            student: None,
            last: None,
            beside: Beside::new(&policy, &names)?,
            recording: Recording::new(&names)?,
            reaction: Reaction::default(),
            memory: Memory::new(),
            names,
        })
    }

    /// The instructor's frame. Every step draws as much noise, so that a seed stays comparable.
    fn instructor(&mut self, input: &Input) -> Option<Frame<N>> {
        let noise: [f64; N] = core::array::from_fn(|_| input.noise * self.noise.normal());
        let sticks = input.instructor.as_ref()?;
        let frame = input::frame(sticks.iter().zip(noise).map(|(points, noise)| points + noise));
        self.instructor = Some(frame);
        Some(frame)
    }

    /// The student's frame, as the link carries it.
    fn student(&mut self, input: &Input, flies: bool) -> Option<Frame<N>> {
        let frame = if self.who == Student::Person {
            input.student.as_ref().map(|sticks| input::frame(sticks.iter().copied()))
        } else {
            let mut frame = Frame::CENTRE;
            let sticks = self.flown.student(flies);
            frame.axes_mut().iter_mut().zip(sticks.axes()).for_each(|(axis, stick)| *axis = *stick);
            Some(frame)
        };
        match input.link {
            Link::Good => {
                self.student = frame.or(self.student);
                frame
            }
            Link::Cut => None,
            Link::Frozen => self.student,
        }
    }
}

impl<const N: usize> Flying for Lesson<N> {
    fn axes(&self) -> Vec<Axis> {
        self.craft.axes()
    }

    fn policy(&self) -> String {
        TomlPolicy { policy: self.policy.policy(), names: &self.names, around: None }.to_string()
    }

    fn step(&mut self, input: &Input) -> Result<State, Fault> {
        input::check(input, &self.names)?;
        if let Some(last) = &self.last {
            self.flown.fly(controls(&last.output));
        }
        let flew = self.last.is_some_and(|last| !last.pilot.student().is_empty());
        let row = Row {
            time_us: self.time_us,
            instructor: self.instructor(input),
            student: self.student(input, flew),
            lesson_switch: input.switch,
            instructor_now: input.button,
        };
        let both = self.beside.step(&row);
        self.recording.step(&row, &both.engine)?;
        let next = Row {
            time_us: self.time_us + u64::from(FRAME_US),
            instructor: self.instructor,
            lesson_switch: true,
            instructor_now: false,
            ..row
        };
        let (slip, limit) = (self.flown.mistake(), self.flown.limit());
        let slip = slip.filter(|_| self.who != Student::Person);
        // A craft that was handed back low is no mistake of the drill.
        let limit = limit.filter(|_| self.who != Student::Drill || slip.is_some());
        let watched = Watched { time_us: self.time_us, flew, slip, limit };
        let taken = self.reaction.step(watched, &both.engine, self.policy.policy());
        let craft = self.flown.state();
        self.memory.step(&row, &both.engine, craft.crashed, self.policy.policy());
        let told = telling::Told {
            time_us: self.time_us,
            both: &both,
            switched_on: self.beside.would(&next),
            beside: &self.beside,
            policy: self.policy.policy(),
            names: &self.names,
            sides: [self.instructor, self.student],
            memory: &self.memory,
        };
        let state = told.state(craft, self.reaction.mistake(), taken);
        self.last = Some(both.engine);
        self.time_us += u64::from(FRAME_US);
        Ok(state)
    }

    fn settings(&self) -> Vec<Setting> {
        settings::of(self.policy.policy(), &self.names)
    }

    fn set(&mut self, key: &str, axis: Option<&str>, value: &str) -> Result<(), Fault> {
        let text = edit::changed(&self.policy(), &self.settings(), key, axis, value)?;
        let policy = read(text, &self.names)?;
        let recording = Recording::new(&self.names)?;
        self.beside.change(&policy, &self.names)?;
        self.memory.change_engine();
        (self.policy, self.recording) = (policy, recording);
        Ok(())
    }

    fn save(&self) -> Result<Saved, Fault> {
        self.recording.save(self.policy())
    }

    fn costs(&self, reaction_ms: f64) -> Result<Costs, Fault> {
        costs::of(reaction_ms, self.craft.speed(), self.policy.policy())
    }
}

/// The policy in this text, for axes of these names.
fn read<const N: usize>(text: String, names: &[String]) -> Result<CheckedPolicy<N>, Fault> {
    PolicyFile::parse(Path::new(POLICY), text)?.arranged(Path::new("the craft"), names)?.check()
}

/// What moves the craft: the first four axes.
fn controls<const N: usize>(output: &Frame<N>) -> [f64; 4] {
    let axis = |axis| output.get(axis).map_or(0.0, fraction);
    [axis(0), axis(1), axis(2), axis(3)]
}

/// The deflections of a frame that may not have come yet.
pub(super) fn axes<const N: usize>(frame: Option<Frame<N>>) -> [Deflection; N] {
    *frame.unwrap_or(Frame::CENTRE).axes()
}
