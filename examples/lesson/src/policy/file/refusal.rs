//! What the check of the library refuses, with times in milliseconds, as the file has them.

use handback::ppm::Field;
use handback::{Duration, PolicyError};
use trainer_box::PlanError;

use crate::policy::print_toml::Millis;

/// The refusal of what a box has beside its policy, its axes by name.
pub(super) fn of_box(why: &PlanError, name: impl Fn(u8) -> String) -> String {
    let axis_of = |text: String, axis: Option<u8>| match axis {
        Some(axis) => text.replacen(&format!("axis {axis}"), &format!("axis {}", name(axis)), 1),
        None => text,
    };
    match why {
        PlanError::Train(part, told) if matches!(told.field(), Field::FrameLength | Field::Silence) => {
            format!("{}: {}", part.name(), in_ms(&told.to_string()).replacen("frame_length", "a frame", 1))
        }
        PlanError::Train(part, told) => format!("{}: {told}", part.name()),
        PlanError::Cues(told) => format!("cues: {}", in_ms(&told.to_string())),
        PlanError::CraftChannels { .. } => why.to_string().replacen("craft_train", "craft", 1),
        PlanError::Channels(part, told) => format!("{}: {}", part.name(), axis_of(told.to_string(), told.axis())),
        PlanError::Name { axis, .. }
        | PlanError::NoSuchChannel { axis, .. }
        | PlanError::InstructorChannel { axis }
        | PlanError::InstructorReduced { axis }
        | PlanError::SharedChannel { axis, .. } => axis_of(why.to_string(), Some(*axis)),
        PlanError::Policy(_) => in_ms(&why.to_string()),
    }
}

/// The refusal, without the axis: the library counts axes, people know them by name.
pub(super) fn words(why: &PolicyError) -> String {
    let told = why.to_string();
    let of_axis = told.split_once(": ").filter(|_| why.axis().is_some());
    in_ms(of_axis.map_or(told.as_str(), |(_, told)| told))
}

/// A refusal of the library with its times in milliseconds instead of microseconds.
fn in_ms(told: &str) -> String {
    let mut words: Vec<String> = told.split(' ').map(str::to_owned).collect();
    for unit in 1..words.len() {
        let Some(after @ ("" | ":" | ",")) = words[unit].strip_prefix("us") else { continue };
        let Ok(ticks) = words[unit - 1].parse() else { continue };
        (words[unit - 1], words[unit]) = (Millis(Duration::from_ticks(ticks)).to_string(), format!("ms{after}"));
    }
    words.join(" ")
}
