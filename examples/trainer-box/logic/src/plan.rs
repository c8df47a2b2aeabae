//! The decisions of the builder of a box, and their check.

use handback::cue::{CheckedCueRules, CueRules};
use handback::ppm::{Decoder, DecoderSetup, Encoder, EncoderSetup, Level};
use handback::{AxisSet, Channel, Channels, CheckedChannels, CheckedPolicy, Deflection, Micros, Policy};

use crate::name::{AxisName, NameFault};
use crate::plan_error::{Part, PlanError};

/// The plan of a box for `N` axes, with room for `M` channels of the instructor's and the craft's train and for `S`
/// channels of the student's train. It is plain data and must be [checked](Self::check), which works in `const` too.
///
/// Each train has the number of channels in its set-up, or as many as have room. The train to the craft has at most the
/// channels of the instructor's train, from which the channels without an axis come, such as a gear switch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize), serde(deny_unknown_fields))]
pub struct Plan<const N: usize, const M: usize, const S: usize> {
    /// The name of each axis, axis 0 first.
    #[cfg_attr(feature = "serde", serde(with = "crate::name::names"))]
    pub names: [AxisName; N],
    /// The policy: who may fly which axes, and how control changes.
    pub policy: Policy<N>,
    /// The channel of each axis in the instructor's train. Every axis has one, with full rate and without limits.
    pub instructor: Channels<Micros, N, M>,
    /// The channel of each axis in the student's train. Every shared axis has one.
    pub student: Channels<Micros, N, S>,
    /// The channel of each axis in the train to the craft. Every shared axis has one.
    pub craft: Channels<Micros, N, M>,
    /// The format of the instructor's train.
    pub instructor_train: DecoderSetup,
    /// The format of the student's train.
    pub student_train: DecoderSetup,
    /// The format of the train to the craft.
    pub craft_train: EncoderSetup,
    /// The cues that people hear and see.
    pub cues: CueRules,
}

/// A plan that passed [`Plan::check`]. It never changes, so it can stay in flash.
#[derive(Clone, Debug)]
pub struct CheckedPlan<const N: usize, const M: usize, const S: usize> {
    pub(crate) names: [AxisName; N],
    pub(crate) policy: CheckedPolicy<N>,
    pub(crate) instructor: CheckedChannels<Micros, N, M>,
    pub(crate) student: CheckedChannels<Micros, N, S>,
    pub(crate) craft: CheckedChannels<Micros, N, M>,
    pub(crate) instructor_train: Decoder<M>,
    pub(crate) student_train: Decoder<S>,
    pub(crate) craft_train: Encoder<M>,
    pub(crate) cues: CheckedCueRules,
}

impl<const N: usize, const M: usize, const S: usize> CheckedPlan<N, M, S> {
    /// The plan that was checked.
    pub const fn plan(&self) -> Plan<N, M, S> {
        Plan {
            names: self.names,
            policy: *self.policy.policy(),
            instructor: *self.instructor.channels(),
            student: *self.student.channels(),
            craft: *self.craft.channels(),
            instructor_train: *self.instructor_train.setup(),
            student_train: *self.student_train.setup(),
            craft_train: *self.craft_train.setup(),
            cues: *self.cues.rules(),
        }
    }

    /// The names of the axes, axis 0 first.
    pub const fn names(&self) -> &[AxisName; N] {
        &self.names
    }

    /// Whether the line to the craft is high at rest. The pin must have this level from the start.
    pub fn craft_rests_high(&self) -> bool {
        self.craft_train.setup().separators == Level::Low
    }
}

/// The checked value; otherwise returns the error with the part of the plan.
macro_rules! part {
    ($check:expr, $error:ident) => {
        match $check {
            Ok(checked) => checked,
            Err(why) => return Err(PlanError::$error(why)),
        }
    };
    ($check:expr, $error:ident, $part:ident) => {
        match $check {
            Ok(checked) => checked,
            Err(why) => return Err(PlanError::$error(Part::$part, why)),
        }
    };
}

impl<const N: usize, const M: usize, const S: usize> Plan<N, M, S> {
    /// Checks the plan, in `const` too.
    ///
    /// # Errors
    /// The first error, with its part, axis, field and value.
    ///
    /// A plan whose student has no channel for a shared axis:
    ///
    /// ```
    /// use handback::cue::CueRules;
    /// use handback::ppm::{DecoderSetup, EncoderSetup, Level};
    /// use handback::{AxisRule, Channels, Policy};
    /// use trainer_box::{AxisName, Plan};
    /// let mut plan = Plan::<2, 4, 4> {
    ///     names: AxisName::all(["roll", "pitch"]),
    ///     policy: Policy::new([AxisRule::sprung(); 2]),
    ///     instructor: Channels::pulses(),
    ///     student: Channels::pulses(),
    ///     craft: Channels::pulses(),
    ///     instructor_train: DecoderSetup::new(Level::High),
    ///     student_train: DecoderSetup::new(Level::Low),
    ///     craft_train: EncoderSetup::new(Level::High),
    ///     cues: CueRules::new(),
    /// };
    /// assert!(plan.check().is_ok());
    /// plan.student.axes[1] = None;
    /// let why = plan.check().unwrap_err();
    /// assert_eq!(why.to_string(), "student: axis 1 has no channel: give it one, or do not share it");
    /// ```
    pub const fn check(self) -> Result<CheckedPlan<N, M, S>, PlanError> {
        if let Some(why) = wrong_name(&self.names) {
            return Err(why);
        }
        let policy = part!(self.policy.check(), Policy);
        let instructor = part!(self.instructor.check(), Channels, Instructor);
        let student = part!(self.student.check(), Channels, Student);
        let craft = part!(self.craft.check(), Channels, Craft);
        let instructor_train = part!(self.instructor_train.check(), Train, Instructor);
        let student_train = part!(self.student_train.check(), Train, Student);
        let craft_train = part!(self.craft_train.check(), Train, Craft);
        let cues = part!(self.cues.check(), Cues);
        if let Some(why) = beyond(Part::Instructor, &self.instructor.axes, instructor_train.channels()) {
            return Err(why);
        }
        if let Some(why) = beyond(Part::Student, &self.student.axes, student_train.channels()) {
            return Err(why);
        }
        if let Some(why) = beyond(Part::Craft, &self.craft.axes, craft_train.channels()) {
            return Err(why);
        }
        if craft_train.channels() > instructor_train.channels() {
            let (craft, instructor) = (craft_train.channels(), instructor_train.channels());
            return Err(PlanError::CraftChannels { craft, instructor });
        }
        if let Some(axis) = without_channel(&self.instructor.axes).lowest() {
            return Err(PlanError::InstructorChannel { axis });
        }
        if let Some(axis) = reduced(&self.instructor.axes).lowest() {
            return Err(PlanError::InstructorReduced { axis });
        }
        let shared = self.policy.shared.to_bits();
        if let Some(axis) = AxisSet::from_bits(without_channel(&self.student.axes).to_bits() & shared).lowest() {
            return Err(PlanError::SharedChannel { part: Part::Student, axis });
        }
        if let Some(axis) = AxisSet::from_bits(without_channel(&self.craft.axes).to_bits() & shared).lowest() {
            return Err(PlanError::SharedChannel { part: Part::Craft, axis });
        }
        let names = self.names;
        Ok(CheckedPlan {
            names,
            policy,
            instructor,
            student,
            craft,
            instructor_train,
            student_train,
            craft_train,
            cues,
        })
    }

    /// The same plan without the student, who gets no axis: no lesson begins.
    #[must_use]
    pub const fn instructor_alone(mut self) -> Self {
        self.policy.shared = AxisSet::EMPTY;
        self
    }
}

/// The first name that is wrong.
const fn wrong_name(names: &[AxisName]) -> Option<PlanError> {
    let (mut axis, mut left) = (0u8, names);
    while let [name, rest @ ..] = left {
        if let Some(fault) = name.fault() {
            return Some(PlanError::Name { axis, name: *name, fault });
        }
        let (mut other, mut before) = (0u8, names);
        while let [earlier, tail @ ..] = before
            && other < axis
        {
            if earlier.is_like(name) {
                return Some(PlanError::Name { axis, name: *name, fault: NameFault::Twice(other) });
            }
            other = other.saturating_add(1);
            before = tail;
        }
        axis = axis.saturating_add(1);
        left = rest;
    }
    None
}

/// The first axis on a channel that the train does not have.
const fn beyond(part: Part, axes: &[Option<Channel<Micros>>], channels: u8) -> Option<PlanError> {
    let (mut place, mut left) = (0u8, axes);
    while let [channel, rest @ ..] = left {
        if let Some(Channel { number, .. }) = channel
            && *number >= channels
        {
            return Some(PlanError::NoSuchChannel { part, axis: place, number: *number, channels });
        }
        place = place.saturating_add(1);
        left = rest;
    }
    None
}

/// The axes that have no channel.
const fn without_channel(axes: &[Option<Channel<Micros>>]) -> AxisSet {
    let (mut found, mut number, mut left) = (AxisSet::EMPTY, 0u8, axes);
    while let [channel, rest @ ..] = left {
        if channel.is_none() {
            found = found.with(number);
        }
        number = number.saturating_add(1);
        left = rest;
    }
    found
}

/// The axes with a rate or a limit, which do not have the full travel of their stick.
const fn reduced(axes: &[Option<Channel<Micros>>]) -> AxisSet {
    let (mut found, mut number, mut left) = (AxisSet::EMPTY, 0u8, axes);
    while let [channel, rest @ ..] = left {
        if let Some(Channel { rate, limit_below, limit_above, .. }) = channel
            && (rate.to_bits() != Deflection::FULL.to_bits() || limit_below.is_some() || limit_above.is_some())
        {
            found = found.with(number);
        }
        number = number.saturating_add(1);
        left = rest;
    }
    found
}
