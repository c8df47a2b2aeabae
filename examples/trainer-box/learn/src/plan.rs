//! A plan from what was learnt.

use handback::calibrate::{Learnt, Refusal, Target};
use handback::{AxisSet, Channel, Channels, Deflection, Duration, Frame, Micros, Pulse};
use trainer_box::{Format, MOST_CHANNELS, Part, Plan, PlanError};

use crate::step::End;

/// What was learnt of one transmitter.
#[derive(Debug)]
pub(crate) struct Transmitter<const N: usize> {
    pub(crate) format: Format,
    /// The channel of each axis.
    pub(crate) numbers: [u8; N],
    pub(crate) sticks: Learnt<Micros, N>,
}

/// The plan with the instructor's transmitter, and where its sticks rest.
///
/// The instructor's channels keep their nominal ends and centre, and the craft's are the same: the craft gets what the
/// instructor's transmitter sends. The thresholds of the watched axes are those of the measured noise,
/// and of the jitter that the decoder lets through. The dwell is that of the sweeps, and no shorter than it was.
pub(crate) fn with_instructor<const N: usize>(
    mut plan: Plan<N, MOST_CHANNELS, MOST_CHANNELS>,
    learnt: &Transmitter<N>,
    frame_length: Duration,
) -> Result<(Plan<N, MOST_CHANNELS, MOST_CHANNELS>, Frame<N>), End> {
    let mut sticks = Channels { axes: [None; N] };
    for ((axis, stick), &number) in sticks.axes.iter_mut().zip(&learnt.sticks.axes).zip(&learnt.numbers) {
        let mut channel = Channel::pulse(number);
        channel.reversed = stick.reversed;
        *axis = Some(channel);
    }
    let checked = sticks.check().map_err(|why| End::Plan(PlanError::Channels(Part::Instructor, why)))?;
    let mut train = [Pulse::MIN; MOST_CHANNELS];
    for (&number, rest) in learnt.numbers.iter().zip(learnt.sticks.centres()) {
        if let Some(width) = train.get_mut(usize::from(number)) {
            *width = rest;
        }
    }
    let rests = checked.frame(&train);
    (plan.instructor, plan.craft) = (sticks, sticks);
    let Format { separators, channels } = learnt.format;
    (plan.instructor_train.separators, plan.instructor_train.channels) = (separators, Some(channels));
    let craft = &mut plan.craft_train;
    (craft.separators, craft.channels) = (separators, Some(channels));
    let longest = u32::from(craft.longest.to_micros()).saturating_mul(channels.into());
    let needed = longest.saturating_add(craft.separator.as_ticks()).saturating_add(craft.gap.as_ticks());
    craft.frame_length = craft.frame_length.max(Duration::from_ticks(needed.next_multiple_of(500)));
    let target = Target::new(frame_length);
    let recommended = learnt.sticks.recommend(&plan.instructor, plan.policy.watched, &target);
    let dwell = plan.policy.dwell;
    plan.policy = recommended.map_err(|why: Refusal| End::Refused(why))?.apply(plan.policy, &rests);
    // Sweeps are those of one hand on one day: the dwell does not become shorter.
    plan.policy.dwell = plan.policy.dwell.max(dwell);
    let disturbed = points_of(plan.instructor_train.jitter);
    for (number, rule) in (0..).zip(&mut plan.policy.axes) {
        if plan.policy.watched.contains(number) {
            rule.engage = Deflection::from_bits(rule.engage.to_bits().saturating_add(disturbed.to_bits()));
        }
    }
    Ok((plan, rests))
}

/// How far a disturbed edge can move a stick in one frame, unseen: the decoder takes edges that are off by the jitter. A
/// stick has 500 us from its centre to an end.
fn points_of(jitter: Duration) -> Deflection {
    let centipoints = jitter.as_ticks().min(500).saturating_mul(20);
    Deflection::from_centipoints(i32::try_from(centipoints).unwrap_or(i32::MAX))
}

/// The plan with the student's transmitter, which has its learnt ends, and at rest the deflection of the instructor's.
/// The rate and the limits of an axis stay as they were.
pub(crate) fn with_student<const N: usize>(
    mut plan: Plan<N, MOST_CHANNELS, MOST_CHANNELS>,
    learnt: &Transmitter<N>,
    rests: &Frame<N>,
    sprung: AxisSet,
) -> Result<Plan<N, MOST_CHANNELS, MOST_CHANNELS>, End> {
    for ((axis, stick), &number) in plan.student.axes.iter_mut().zip(&learnt.sticks.axes).zip(&learnt.numbers) {
        let mut channel = stick.channel(number);
        if let Some(before) = axis {
            channel.rate = before.rate;
            (channel.limit_below, channel.limit_above) = (before.limit_below, before.limit_above);
        }
        *axis = Some(channel);
    }
    plan.student = plan.student.meeting(rests, sprung);
    let Format { separators, channels } = learnt.format;
    (plan.student_train.separators, plan.student_train.channels) = (separators, Some(channels));
    match plan.check() {
        Ok(_) => Ok(plan),
        Err(why) => Err(End::Plan(why)),
    }
}
