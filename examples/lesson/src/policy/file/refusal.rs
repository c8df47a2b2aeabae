//! What the check of the library refuses, with times in milliseconds, as the file has them.

use handback::{Duration, PolicyError};

use crate::policy::print_toml::Millis;

/// The longest time that a policy may hold.
const LONGEST: Duration = Duration::from_ticks(1 << 31);

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
