//! The decisions of the builder of a box, and their check.

use handback::cue::{CheckedCueRules, CueRules};
use handback::ppm::{Decoder, DecoderSetup, Encoder, EncoderSetup, Level};
use handback::{AxisSet, Channel, Channels, CheckedChannels, CheckedPolicy, Deflection, Micros, Policy};

use crate::plan_error::{Part, PlanError};

/// The plan of a box for `N` axes, an instructor's train of `M` channels and a student's train of `S` channels. It is
/// plain data and must be [checked](Self::check), which works in `const` too.
///
/// The train to the craft has `M` channels. Channels without an axis, such as a gear switch, come from the instructor's
/// train.
#[derive(Clone, Copy, Debug)]
pub struct Plan<const N: usize, const M: usize, const S: usize> {
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
    /// use trainer_box::Plan;
    /// let mut plan = Plan::<2, 4, 4> {
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
        let policy = part!(self.policy.check(), Policy);
        let instructor = part!(self.instructor.check(), Channels, Instructor);
        let student = part!(self.student.check(), Channels, Student);
        let craft = part!(self.craft.check(), Channels, Craft);
        let instructor_train = part!(self.instructor_train.check(), Train, Instructor);
        let student_train = part!(self.student_train.check(), Train, Student);
        let craft_train = part!(self.craft_train.check(), Train, Craft);
        let cues = part!(self.cues.check(), Cues);
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
        Ok(CheckedPlan { policy, instructor, student, craft, instructor_train, student_train, craft_train, cues })
    }
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
