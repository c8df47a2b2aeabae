//! The preflight: every step, with any inputs and any outcome, and every text.

use handback::preflight::{Action, Finding, Obstacle, Preflight, PreflightProgress, Side, Verdict};
use handback::{CheckedPolicy, Deflection, Engine, Frame, Inputs, Instant, Policy};

use crate::{any, used};

pub(crate) fn call<const N: usize>(policy: Policy<N>) {
    let Ok(policy) = any(policy).check() else { return };
    let mut engine = Engine::new(&policy);
    let mut preflight = preflight(&policy);
    while any(true) {
        let (instructor, student) = (any(Some(Frame::CENTRE)), any(Some(Frame::CENTRE)));
        let inputs = Inputs {
            instructor: instructor.as_ref(),
            student: student.as_ref(),
            lesson_switch: any(false),
            instructor_now: any(false),
        };
        let outcome = any(engine.step(Instant::from_ticks(any(0)), inputs));
        told(&any(preflight.step(inputs, &outcome)));
        used((preflight.asked(), preflight.untold(), preflight.passed(), preflight.pinned()));
    }
    for finding in any(preflight).findings() {
        found(any(*finding));
    }
}

fn preflight<const N: usize>(policy: &CheckedPolicy<N>) -> Preflight<N, &CheckedPolicy<N>> {
    let preflight = Preflight::new(any(policy)).with_student_throws(any([Deflection::FULL; N]));
    if any(true) { preflight } else { preflight.without_button() }
}

fn told<const N: usize>(progress: &PreflightProgress<N>) {
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

fn asked(step: Action) {
    used((step.message().as_str(), step.axis()));
    if let Some(side) = any(step.side()) {
        used(side.name());
    }
    if let Action::Move { side: Side::Student, end, .. } = step {
        used((end.name(), end.ways()));
    }
}

fn found(finding: Finding) {
    used((finding.message().as_str(), finding.side(), finding.axis()));
}

fn in_the_way(obstacle: Obstacle) {
    used(obstacle.message().as_str());
}
