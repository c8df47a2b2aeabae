//! The rehearsal: every step, with any inputs and any outcome, and every word.

use handback::rehearsal::{Finding, Obstacle, Progress, Rehearsal, Side, Step, Verdict};
use handback::{CheckedPolicy, Deflection, Engine, Frame, Inputs, Instant, Policy};

use crate::{any, used};

pub(crate) fn call<const N: usize>(policy: Policy<N>) {
    let Ok(policy) = any(policy).check() else { return };
    let mut engine = Engine::new(&policy);
    let mut rehearsal = rehearsal(&policy);
    while any(true) {
        let (instructor, student) = (any(Some(Frame::CENTRE)), any(Some(Frame::CENTRE)));
        let inputs = Inputs {
            instructor: instructor.as_ref(),
            student: student.as_ref(),
            lesson_switch: any(false),
            instructor_now: any(false),
        };
        let outcome = any(engine.step(Instant::from_ticks(any(0)), inputs));
        told(&any(rehearsal.step(inputs, &outcome)));
        used((rehearsal.asked(), rehearsal.untold(), rehearsal.passed(), rehearsal.pinned()));
    }
    for finding in any(rehearsal).findings() {
        found(any(*finding));
    }
}

fn rehearsal<const N: usize>(policy: &CheckedPolicy<N>) -> Rehearsal<'_, N> {
    let rehearsal = Rehearsal::new(any(policy)).with_student_throws(any([Deflection::FULL; N]));
    if any(true) { rehearsal } else { rehearsal.without_button() }
}

fn told<const N: usize>(progress: &Progress<N>) {
    asked(any(progress.step));
    if let Some(obstacle) = any(progress.obstacle) {
        in_the_way(obstacle);
    }
    match any(progress.ended) {
        Some((_, Verdict::Failed(finding) | Verdict::Prevented(finding))) => found(any(finding)),
        Some((step, Verdict::Passed)) => asked(any(step)),
        None => {}
    }
}

fn asked(step: Step) {
    used((step.message().as_str(), step.axis()));
    if let Some(side) = any(step.side()) {
        used(side.name());
    }
    if let Step::Move { side: Side::Student, end, .. } = step {
        used((end.name(), end.ways()));
    }
}

fn found(finding: Finding) {
    used((finding.message().as_str(), finding.side(), finding.axis()));
}

fn in_the_way(obstacle: Obstacle) {
    used(obstacle.message().as_str());
}
