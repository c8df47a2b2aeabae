//! Calibration: frame by frame, its result, and the recommendation.

use handback::calibrate::{Basis, Calibration, Learnt, LearntAxis, Refusal, RestMeter, SEQUENCE, Target, deviations};
use handback::{AxisSet, Channel, Channels, Counts, Duration, Frame, Micros, Policy, Reading, Unit};

use crate::{any, used};

pub(crate) fn call<const N: usize>(policy: Policy<N>) {
    used(deviations(any(0), any(0), any([0; 2])));
    meter();
    if let Some(learnt) = guided::<Micros, N>() {
        for axis in &learnt.axes {
            recommend(&learnt, axis.channel(any(0)), policy);
        }
    }
    if let Some(learnt) = guided::<Counts, N>() {
        for axis in &learnt.axes {
            recommend(&learnt, axis.channel(any(0), any(0)), policy);
        }
    }
}

fn meter() {
    let mut meter = any(RestMeter::new());
    while any(true) {
        meter.take(any(0));
    }
    used((meter.frames(), meter.strayed(), RestMeter::default()));
    if let Some(noise) = meter.noise() {
        used((noise, any(noise).peak_to_peak(), LearntAxis::at_rest(noise, any(true))));
    }
}

fn guided<U: Unit, const N: usize>() -> Option<Learnt<U, N>> {
    let mut calibration = any(Calibration::<U, N>::new(any(AxisSet::ALL), any(0)));
    while any(true) {
        used((calibration.take(any(&[Reading::MIN; N])), calibration.step().wording(), any(SEQUENCE)));
    }
    any(calibration.learnt())
}

fn recommend<U: Unit, const N: usize>(learnt: &Learnt<U, N>, channel: Channel<U>, policy: Policy<N>) {
    let channels = Channels::<U, N, N>::new(any([channel; N]));
    let target = any(Target::new(Duration::from_ticks(any(0))));
    used(learnt.centres());
    match any(learnt).recommend(&channels, any(AxisSet::ALL), &target) {
        Ok(advice) => {
            for axis in any(advice.axes).into_iter().flatten() {
                if let Basis::Margin(doubt) = axis.basis {
                    used(doubt.wording());
                }
            }
            used(any(advice).apply(policy, any(&Frame::CENTRE)));
        }
        Err(why) => refused(any(why)),
    }
}

fn refused(why: Refusal) {
    used((why.axis(), why.message().as_str()));
    if let Refusal::TooNoisy { trouble, .. } = why {
        used(trouble.help());
    }
}
