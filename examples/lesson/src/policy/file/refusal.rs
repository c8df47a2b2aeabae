//! What the check of the library refuses, with times in milliseconds, as the file has them.

use handback::ppm::PpmError;
use handback::{Duration, PolicyError};
use trainer_box::PlanError;

use crate::policy::print_toml::Millis;

/// The longest time that a policy may hold.
const LONGEST: Duration = Duration::from_ticks(1 << 31);

/// The refusal of what a box has beside its policy, its axes by name.
pub(super) fn of_box(why: &PlanError, name: impl Fn(u8) -> String) -> String {
    let axis_of = |text: String, axis: Option<u8>| match axis {
        Some(axis) => text.replacen(&format!("axis {axis}"), &format!("axis {}", name(axis)), 1),
        None => text,
    };
    match why {
        PlanError::Train(part, PpmError::FrameLength { frame_length, channels, needed }) => format!(
            "{}: a frame is {} ms: {channels} channels at their longest, a separator and the gap need {} ms",
            part.name(),
            Millis(*frame_length),
            Millis(*needed)
        ),
        PlanError::Train(part, PpmError::Silence { silence, gap }) => format!(
            "{}: silence is {} ms: it must be above gap, {} ms, and at most half the range of the clock, {} ms",
            part.name(),
            Millis(*silence),
            Millis(*gap),
            Millis(LONGEST)
        ),
        PlanError::Train(part, told) => format!("{}: {told}", part.name()),
        PlanError::CraftChannels { .. } => why.to_string().replacen("craft_train", "craft", 1),
        PlanError::Channels(part, told) => format!("{}: {}", part.name(), axis_of(told.to_string(), told.axis())),
        PlanError::Name { axis, .. }
        | PlanError::NoSuchChannel { axis, .. }
        | PlanError::InstructorChannel { axis }
        | PlanError::InstructorReduced { axis }
        | PlanError::SharedChannel { axis, .. } => axis_of(why.to_string(), Some(*axis)),
        _ => why.to_string(),
    }
}

/// The refusal, without the axis.
pub(super) fn words(why: &PolicyError) -> String {
    match why {
        PolicyError::TooLong { timing, value, .. } => {
            let (field, value) = (timing.field(), Millis(*value));
            format!("{field} is {value} ms: it must be at most half the range of the clock, {} ms", Millis(LONGEST))
        }
        PolicyError::FailsafeBeforeTimeout { failsafe_after, timeout } => {
            let (after, timeout) = (Millis(*failsafe_after), Millis(*timeout));
            format!("failsafe_after is {after} ms: it must be timeout, {timeout} ms, or longer")
        }
        // The library counts axes; people know them by name.
        _ if why.axis().is_some() => {
            let told = why.to_string();
            told.split_once(": ").map_or(told.clone(), |(_, told)| told.to_owned())
        }
        _ => why.to_string(),
    }
}
