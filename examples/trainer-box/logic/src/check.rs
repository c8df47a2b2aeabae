//! The check of the bench in the box: lamp and beeper guide two people through it, and the log has every step.

use core::mem::discriminant;

use handback::cue::Signs;
use handback::preflight::{Action, Obstacle, Preflight, PreflightProgress};
use handback::{CheckedChannels, CheckedPolicy, Deflection, Frame, Inputs, Instant, Micros, Outcome};

use crate::beats::{Beats, Pattern};
use crate::log::{Log, What};
use crate::recording::passed;

/// The time for which the button must be held while the box starts, in microseconds.
pub(crate) const HELD: u32 = 2_000_000;

/// The pattern of the current step is repeated after this time without one, in microseconds.
const AGAIN: u32 = 5_000_000;

#[derive(Clone, Debug)]
pub(crate) struct Check<'p, const N: usize> {
    preflight: Preflight<N, &'p CheckedPolicy<N>>,
    beats: Beats,
    last: Instant,
    student_flies: bool,
    /// Whether it has not begun.
    pub(crate) waits: bool,
    /// The last obstacle to the start of the check.
    refused: Option<Obstacle>,
    /// The number of logged findings, and the finding that is played next after the end of the check.
    logged: usize,
    telling: usize,
    /// Patterns that wait: the fault of a step, then the turn of the next step.
    fault: Option<Pattern>,
    turn: bool,
}

impl<'p, const N: usize> Check<'p, N> {
    pub(crate) fn new<const S: usize>(
        policy: &'p CheckedPolicy<N>,
        student: &CheckedChannels<Micros, N, S>,
        now: Instant,
    ) -> Self {
        Self {
            preflight: Preflight::new(policy).with_student_throws(throws(student)),
            beats: Beats::default(),
            last: now,
            student_flies: false,
            waits: true,
            refused: None,
            logged: 0,
            telling: 0,
            fault: None,
            turn: false,
        }
    }

    /// Takes one step of the engine. Returns the frame for the craft, and the state of lamp and beeper.
    pub(crate) fn step(&mut self, inputs: Inputs<'_, N>, outcome: &Outcome<N>, log: &mut Log) -> (Frame<N>, Signs) {
        let progress = self.preflight.step(inputs, outcome);
        self.waits = progress.step == Action::Start;
        self.note(&progress, outcome.at, log);
        self.play(&progress);
        self.student_flies = !outcome.pilot.student().is_empty();
        (progress.output, self.look(outcome.at))
    }

    /// The state of lamp and beeper, also between two steps of the engine.
    pub(crate) fn look(&mut self, now: Instant) -> Signs {
        let on = self.beats.pass(passed(self.last, now));
        self.last = now;
        Signs { lamp: on, beeper: on, vibration: on, student_flies: self.student_flies, ..Signs::default() }
    }

    /// Logs everything that is new.
    fn note(&mut self, progress: &PreflightProgress<N>, at: Instant, log: &mut Log) {
        for finding in self.preflight.findings().iter().skip(self.logged) {
            log.note(at, What::Found(*finding));
        }
        if progress.begun {
            log.note(at, if progress.step == Action::Done { self.ended() } else { What::Asks(progress.step) });
        }
        if progress.obstacle.map(kind) != self.refused.map(kind)
            && let Some(obstacle) = progress.obstacle
        {
            log.note(at, What::Refuses(obstacle));
        }
        self.refused = progress.obstacle;
    }

    fn ended(&self) -> What {
        What::CheckEnds { passed: self.preflight.passed() }
    }

    /// Starts the next pattern: a fault first, then the turn, and the turn again after a while.
    fn play(&mut self, progress: &PreflightProgress<N>) {
        let findings = self.preflight.findings();
        if let Some(finding) = findings.get(self.logged) {
            self.fault = Some(Pattern::fault(finding.axis()));
            self.logged = findings.len();
        }
        self.turn |= progress.begun;
        let again = self.beats.idle() >= AGAIN;
        if self.beats.is_playing() || !(self.fault.is_some() || self.turn || again) {
            return;
        }
        let refused = self.refused.filter(|_| again).and_then(|obstacle| kind(obstacle).1);
        // Only the newest fault and the newest turn wait. The log has all of them, and after the end each finding is
        // played.
        if let Some(fault) = self.fault.take() {
            self.beats.begin(fault);
            return;
        }
        self.turn = false;
        let pattern = match progress.step {
            Action::Done => self.tell_end(),
            _ if refused.is_some() => Pattern::fault(refused),
            step => Pattern::turn(step),
        };
        self.beats.begin(pattern);
    }

    /// The pattern after the end: `PASSED`, or every finding in turn, without end.
    fn tell_end(&mut self) -> Pattern {
        let findings = self.preflight.findings();
        let Some(finding) = findings.get(self.telling).or_else(|| findings.first()) else { return Pattern::PASSED };
        let next = self.telling.saturating_add(1);
        self.telling = if next < findings.len() { next } else { 0 };
        Pattern::fault(finding.axis())
    }
}

/// The kind of an obstacle and its axis, without its distance, which changes with every frame.
fn kind(obstacle: Obstacle) -> (core::mem::Discriminant<Obstacle>, Option<u8>) {
    let axis = match obstacle {
        Obstacle::ThrottleUp { axis, .. } | Obstacle::StickAway { axis, .. } => Some(axis),
        _ => None,
    };
    (discriminant(&obstacle), axis)
}

/// The throw of each of the student's sticks under the plan, as a share of full travel.
fn throws<const N: usize, const S: usize>(student: &CheckedChannels<Micros, N, S>) -> [Deflection; N] {
    student.channels().axes.map(|channel| {
        let Some(channel) = channel else { return Deflection::FULL };
        let limits = [channel.limit_below, channel.limit_above];
        limits.into_iter().flatten().fold(channel.rate, Deflection::min)
    })
}
