//! The plan of a box from what was learnt of both transmitters.

use std::path::Path;

use handback::calibrate::{Learnt, Target};
use handback::{AxisSet, Channel, Channels, Duration, Micros};

use super::ears::Train;
use crate::command_line::link::AXES;
use crate::policy::{BoxPlan, MOST_CHANNELS, PolicyFile, default_box};

/// What was learnt of one transmitter.
#[derive(Debug)]
pub(super) struct Transmitter {
    pub(super) train: Train,
    /// The channel of each axis.
    pub(super) numbers: [u8; AXES],
    pub(super) sticks: Learnt<Micros, AXES>,
}

/// The default box with what was learnt; else why there is none.
///
/// The instructor's channels keep their nominal ends and centre, and the craft's are the same: the craft gets what the
/// instructor's transmitter sends. The student's have their learnt ends, and at rest the deflection of the instructor's.
pub(super) fn plan_of(
    names: &[&str; AXES],
    sprung: AxisSet,
    instructor: &Transmitter,
    student: &Transmitter,
    frame_length: Duration,
) -> Result<BoxPlan<AXES>, String> {
    let default = PolicyFile::parse(Path::new("the default box"), default_box()).and_then(|file| file.plan::<AXES>());
    let Ok(Some(mut plan)) = default else { return Err("the default box is none".to_owned()) };
    let mut sticks = Channels { axes: [None; AXES] };
    for ((axis, learnt), &number) in sticks.axes.iter_mut().zip(&instructor.sticks.axes).zip(&instructor.numbers) {
        let mut channel = Channel::pulse(number);
        channel.reversed = learnt.reversed;
        *axis = Some(channel);
    }
    let checked = sticks.check().map_err(|why| format!("instructor: {why}"))?;
    let mut train = [handback::Pulse::MIN; MOST_CHANNELS];
    for (&number, rest) in instructor.numbers.iter().zip(instructor.sticks.centres()) {
        train[usize::from(number)] = rest;
    }
    let rests = checked.frame(&train);
    let mut of_student = Channels { axes: [None; AXES] };
    for ((axis, learnt), &number) in of_student.axes.iter_mut().zip(&student.sticks.axes).zip(&student.numbers) {
        *axis = Some(learnt.channel(number));
    }
    (plan.instructor, plan.craft, plan.student) = (sticks, sticks, of_student.meeting(&rests, sprung));
    plan.instructor_train.separators = instructor.train.separators;
    plan.instructor_train.channels = Some(instructor.train.channels);
    plan.student_train.separators = student.train.separators;
    plan.student_train.channels = Some(student.train.channels);
    plan.craft_train.separators = instructor.train.separators;
    plan.craft_train.channels = Some(instructor.train.channels);
    let craft = &mut plan.craft_train;
    let longest = u32::from(craft.longest.to_micros()) * u32::from(instructor.train.channels);
    let needed = longest + craft.separator.as_ticks() + craft.gap.as_ticks();
    craft.frame_length = craft.frame_length.max(Duration::from_ticks(needed.next_multiple_of(500)));

    let target = Target::new(frame_length);
    let recommended = instructor.sticks.recommend(&plan.instructor, AxisSet::first(4), &target);
    let recommended = recommended.map_err(|why| {
        let told = why.to_string();
        let name = names.get(usize::from(why.axis())).copied().unwrap_or_default();
        format!("{}; nothing was written", told.replacen(&format!("axis {}", why.axis()), name, 1))
    })?;
    plan.policy = recommended.apply(plan.policy, &rests);
    match plan.check() {
        Ok(_) => Ok(plan),
        Err(why) => Err(format!("{why}; nothing was written")),
    }
}
