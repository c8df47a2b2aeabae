//! Policy, engine, outcome, record.

use handback::{
    AxisRule, CheckedPolicy, Deflection, Engine, Error, Frame, Inputs, Instant, Message, Outcome, Policy, PolicyError,
    Record, Timing,
};

use crate::{any, cues, used};

pub(crate) fn call<const N: usize>() {
    let frame = any(Frame::<N>::CENTRE);
    used(Frame::new(any([Deflection::CENTRE; N])));
    used((frame.axes(), frame.get(any(0)), frame.out_of_range()));
    any(frame).axes_mut().iter_mut().for_each(|axis| *axis = any(*axis));

    used((any(AxisRule::sprung()), any(AxisRule::unsprung(any(Deflection::CENTRE)))));
    match any(Policy::new(any([AxisRule::sprung(); N]))).check() {
        Ok(policy) => fly(any(&policy)),
        Err(why) => refused(&any(why)),
    }
}

fn refused(why: &PolicyError) {
    used((why.axis(), why.field(), why.message().as_str(), any(Timing::Still).field()));
    used(any(Error::from(*why)).message().as_str());
    used(Message::new().text("axis ").number(any(3)).as_str());
}

fn fly<const N: usize>(policy: &CheckedPolicy<N>) {
    used((policy.policy(), policy.failsafe_frame()));
    used(any(Engine::owning(*policy)).policy());
    let mut engine = any(Engine::new(policy));
    let mut record = any(Record::<N, 8>::new());
    while any(true) {
        let (instructor, student) = any((Frame::CENTRE, Frame::CENTRE));
        let inputs = Inputs {
            instructor: any(true).then_some(&instructor),
            student: any(true).then_some(&student),
            lesson_switch: any(true),
            instructor_now: any(true),
        };
        let outcome: Outcome<N> = engine.step(Instant::from_ticks(any(0)), inputs);
        used((outcome.pickup_offset(any(0)), &outcome));
        #[cfg(feature = "bad-index")]
        used(outcome.output.axes()[any(N)]);
        cues::call(&outcome);
        record.note(&any(outcome));
        for event in record.events() {
            used((event.cause.kind(), record.totals().takeovers_by(event.cause)));
        }
    }
}
