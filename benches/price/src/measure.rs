//! Measures: flies every trace with all subjects side by side, and counts every step of each.

use core::fmt::{self, Write};
use core::mem::{MaybeUninit, size_of};

use conformance::{Drawn, Log, recorded};
use handback::reference::Model;
use handback::{AxisSet, CheckedPolicy, Engine, Inputs, Instant, Outcome, Pilot, Policy, Scope};

use crate::bare::{self, Bare};
use crate::counter::count;
use crate::policy::{all_where_left, everything_on};
use crate::scene::{SCENES, Scene, Steady, WHERE_LEFT, play};
use crate::stack::PAINTED;
use crate::tally::{Place, Tally};

/// How much is flown.
#[derive(Clone, Copy, Debug)]
pub struct Extent {
    /// Flights of the conformance check, of any number of axes.
    pub flights: u32,
    /// Random flights with everything on.
    pub everything_on: u32,
    /// Number of those random flights that the float reference flies, too; with 0 it flies no scene either.
    pub reference: u32,
}

/// The cost of the steps of all subjects.
#[derive(Default)]
struct Tallies {
    engine: Tally,
    reference: Tally,
    bare: Tally,
}

/// The costs over all traces, and in the two steady scenes.
#[derive(Default)]
struct Figures {
    all: Tallies,
    still: Tallies,
    moving: Tallies,
}

/// All subjects in one trace.
struct Trial<'p, const N: usize> {
    engine: Engine<N, &'p CheckedPolicy<N>>,
    model: Option<Model<N>>,
    bare: Bare,
}

/// A step of the engine.
#[allow(improper_ctypes_definitions, reason = "both sides of the call are written in Rust")]
extern "C" fn engine<const N: usize>(
    engine: &mut Engine<N, &CheckedPolicy<N>>,
    now: u32,
    inputs: &Inputs<'_, N>,
) -> MaybeUninit<Outcome<N>> {
    MaybeUninit::new(engine.step(Instant::from_ticks(now), *inputs))
}

/// A step of the float reference.
#[allow(improper_ctypes_definitions, reason = "both sides of the call are written in Rust")]
extern "C" fn model<const N: usize>(model: &mut Model<N>, now: u32, inputs: &Inputs<'_, N>) -> MaybeUninit<Outcome<N>> {
    MaybeUninit::new(model.step(Instant::from_ticks(now), *inputs))
}

impl<'p, const N: usize> Trial<'p, N> {
    fn new(policy: &'p CheckedPolicy<N>, with_reference: bool) -> Self {
        Self { engine: Engine::new(policy), model: with_reference.then(|| Model::new(policy)), bare: Bare::new(policy) }
    }

    /// One step of each subject, added to each of these tallies; returns the engine's outcome.
    #[inline(never)]
    fn step(&mut self, now: u32, inputs: &Inputs<'_, N>, tallies: &mut [&mut Tallies]) -> Outcome<N> {
        // SAFETY: each is safe to call, and answers.
        let (engine, said, reference, bare) = unsafe {
            let (engine, said) = count(engine, &mut self.engine, now, inputs);
            let reference = self.model.as_mut().map(|of| count(model, of, now, inputs).0);
            (engine, said, reference, self.bare.step(inputs, |of, given| count(bare::decide(N), of, now, given).0))
        };
        for tallies in tallies {
            tallies.engine.note(engine);
            tallies.bare.note(bare);
            if let Some(reference) = reference {
                tallies.reference.note(reference);
            }
        }
        said
    }
}

impl Tallies {
    fn begin(&mut self, place: Place) {
        for tally in [&mut self.engine, &mut self.reference, &mut self.bare] {
            tally.begin(place);
        }
    }
}

/// Measures everything for `N` axes and writes one line for each figure.
#[inline(never)]
pub fn measure<const N: usize>(extent: Extent, out: &mut dyn Write) -> fmt::Result {
    let mut figures = Figures::default();
    for scope in [Scope::Craft, Scope::Axis] {
        for (policy, scenes) in
            [(everything_on::<N> as fn(Scope) -> Policy<N>, &SCENES[..]), (all_where_left, &WHERE_LEFT)]
        {
            stage(&policy(scope), scenes, extent.reference > 0, &mut figures, out)?;
        }
    }
    for seed in 0..extent.everything_on {
        let Some(drawn) = Drawn::<N>::with_everything_on(seed) else { return Err(fmt::Error) };
        figures.all.begin(Place::EverythingOn(seed));
        fly(&drawn, seed < extent.reference, &mut figures.all);
    }
    for number in 0..extent.flights {
        if let Some(drawn) = Drawn::<N>::of(number) {
            figures.all.begin(Place::Flight(number));
            fly(&drawn, false, &mut figures.all);
        }
    }
    if N == 4 {
        (1..=recorded::POLICIES.min(extent.flights)).try_for_each(|number| {
            figures.all.begin(Place::Flight(number));
            fly_recorded(number, &mut figures.all).ok_or(fmt::Error)
        })?;
    }
    say::<N>(&figures, out)
}

/// Plays scenes under one policy. A function of its own: its policy leaves the stack before the next one comes.
#[inline(never)]
fn stage<const N: usize>(
    policy: &Policy<N>,
    scenes: &[Scene],
    with_reference: bool,
    figures: &mut Figures,
    out: &mut dyn Write,
) -> fmt::Result {
    let Ok(policy) = policy.check() else { return Err(fmt::Error) };
    for scene in scenes {
        if !film(scene, &policy, with_reference, figures) {
            return writeln!(out, "in scene \"{}\" the student does not fly", scene.name).and(Err(fmt::Error));
        }
    }
    Ok(())
}

/// Plays a scene. False where the scene is steady and the student does not fly all axes.
#[inline(never)]
fn film<const N: usize>(scene: &Scene, policy: &CheckedPolicy<N>, with_reference: bool, figures: &mut Figures) -> bool {
    figures.all.begin(Place::Scene(scene.name, policy.policy().scope));
    let mut trial = Trial::new(policy, with_reference);
    let mut steady = true;
    play::<N>(scene, |now, inputs, last_phase| {
        let Figures { all, still, moving } = figures;
        let said = match scene.steady {
            Some(Steady::Still) if last_phase => trial.step(now, inputs, &mut [all, still]),
            Some(Steady::Moving) if last_phase => trial.step(now, inputs, &mut [all, moving]),
            _ => {
                trial.step(now, inputs, &mut [all]);
                return;
            }
        };
        steady &= said.pilot == Pilot::Student(AxisSet::first(N)) && Some(&said.output) == inputs.student;
        steady &= trial.bare.student_flies();
    });
    steady
}

/// Flies one random flight; its steps are drawn from the engine's outcomes.
#[inline(never)]
fn fly<const N: usize>(drawn: &Drawn<N>, with_reference: bool, tallies: &mut Tallies) {
    let mut trial = Trial::new(drawn.policy(), with_reference);
    drawn.fly(&mut Log::new(), &mut |now, inputs| trial.step(now.as_ticks(), &inputs, &mut [tallies]));
}

/// Flies the recorded lesson under one of its policies.
#[inline(never)]
fn fly_recorded(number: u32, tallies: &mut Tallies) -> Option<()> {
    let policy = recorded::policy(number).check().ok()?;
    let mut trial = Trial::new(&policy, false);
    let take = &mut |now: Instant, inputs: Inputs<'_, 4>| trial.step(now.as_ticks(), &inputs, &mut [tallies]);
    recorded::fly_by(&policy, &mut Log::new(), take);
    Some(())
}

/// Writes the figures.
fn say<const N: usize>(figures: &Figures, out: &mut dyn Write) -> fmt::Result {
    let Figures { all, still, moving } = figures;
    for (name, of) in [
        ("engine", (|tallies| &tallies.engine) as fn(&Tallies) -> &Tally),
        ("reference", |tallies| &tallies.reference),
        ("bare", |tallies| &tallies.bare),
    ] {
        if let (Some(still), Some(moving), Some(worst)) = (&of(still).dearest, &of(moving).dearest, &of(all).dearest) {
            writeln!(out, "{name}-still {}", still.figure)?;
            writeln!(out, "{name}-moving {}", moving.figure)?;
            writeln!(out, "{name}-worst {worst}")?;
        }
    }
    if let Some(deepest) = &all.engine.deepest {
        writeln!(out, "engine-stack {deepest}")?;
        if deepest.figure >= PAINTED {
            return writeln!(out, "the engine takes all of the stack that is painted").and(Err(fmt::Error));
        }
    }
    writeln!(out, "engine-ram {}", size_of::<Engine<N>>())?;
    writeln!(out, "policy-ram {}", size_of::<CheckedPolicy<N>>())?;
    writeln!(out, "steps {}", all.engine.steps)
}
