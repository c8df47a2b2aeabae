//! Every result of a call, by name.

use core::ffi::CStr;

use handback::PolicyError;

/// The result of a call. After any status other than `HANDBACK_STATUS_OK`, nothing was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Status {
    /// The call succeeded.
    Ok,
    /// A pointer is null that must not be null.
    Null,
    /// A pointer is not aligned to the type that it points to.
    Misaligned,
    /// The memory is smaller than the engine.
    MemoryTooSmall,
    /// There is no room for any text.
    TextTooSmall,
    /// `size` of the policy is not this library's `sizeof(handback_policy)`: not set, or header and library differ.
    OtherHeader,
    /// `axis_count` is 0, above 16, or above what this library was built for.
    AxisCount,
    /// `scope` is none of `handback_scope`.
    UnknownScope,
    /// `rest_kind` of an axis is none of `handback_rest`.
    UnknownRest,
    /// `transfer` of an axis is none of `handback_transfer`.
    UnknownTransfer,
    /// There is no engine in this memory: it was not started, or its start was refused.
    NotStarted,
    /// The engine was copied or moved to other memory than it was started in.
    Moved,
    /// P1: `engage` of an axis is not above 0, or its stick cannot get beyond it.
    Engage,
    /// P1: `release` of an axis is below 0, or not below `engage`.
    Release,
    /// P1: `confirm` of an axis is 0.
    Confirm,
    /// P1: the fixed rest of an axis is beyond `plausible`.
    Rest,
    /// P1: the match window of an axis is below 0.
    Window,
    /// P1: the failsafe of an axis is beyond `plausible`.
    Failsafe,
    /// P1: `plausible` is below full nominal travel.
    Plausible,
    /// P1: no axis is watched, so nothing could take over.
    NothingWatched,
    /// P1: `watched` names an axis past the last.
    WatchedPastLast,
    /// P1: `shared` names an axis past the last.
    SharedPastLast,
    /// P1: in scope axis, a shared axis is not watched, so nothing could take it over.
    SharedUnwatched,
    /// P1: the latch `beyond` is below 0, or not below `plausible`.
    Beyond,
    /// P1: a duration is longer than half the range of the clock, 2^31 us.
    TooLong,
    /// P1: `settle`, `timeout` or `late_step` is 0.
    Zero,
    /// P1: `failsafe_after` is shorter than `timeout`.
    FailsafeBeforeTimeout,
    /// P1: a rule without a status of its own; the text says which.
    OtherRule,
}

/// The text of every status, in their order.
const TEXTS: [(Status, &CStr); 28] = [
    (Status::Ok, c"ok"),
    (Status::Null, c"a pointer is null: give it something to point at"),
    (Status::Misaligned, c"a pointer is not aligned: align the memory to HANDBACK_ENGINE_ALIGN, structs to their type"),
    (Status::MemoryTooSmall, c"the memory is smaller than the engine: give it handback_engine_size(axis_count) bytes"),
    (Status::TextTooSmall, c"there is no room for a text: give it HANDBACK_TEXT_SIZE bytes"),
    (
        Status::OtherHeader,
        c"size of the policy is not this library's: set it to sizeof(handback_policy), and build both again",
    ),
    (Status::AxisCount, c"axis_count must be 1 to 16, and at most what the library was built for"),
    (Status::UnknownScope, c"scope must be one of handback_scope"),
    (Status::UnknownRest, c"rest_kind must be one of handback_rest"),
    (Status::UnknownTransfer, c"transfer must be one of handback_transfer"),
    (Status::NotStarted, c"there is no engine in this memory: call handback_start and look at its status"),
    (Status::Moved, c"the engine was copied or moved: start it where it is to stay"),
    (Status::Engage, c"engage must be above 0 and within reach of the stick"),
    (Status::Release, c"release must be 0 or more and below engage"),
    (Status::Confirm, c"confirm must be 1 or more"),
    (Status::Rest, c"rest must be within plausible"),
    (Status::Window, c"window must be 0 or more"),
    (Status::Failsafe, c"failsafe must be within plausible"),
    (Status::Plausible, c"plausible must be full nominal travel, 16384, or more"),
    (Status::NothingWatched, c"watched must name at least one axis"),
    (Status::WatchedPastLast, c"watched names an axis past the last"),
    (Status::SharedPastLast, c"shared names an axis past the last"),
    (Status::SharedUnwatched, c"in scope axis, every shared axis must be watched"),
    (Status::Beyond, c"beyond must be 0 or more and below plausible"),
    (Status::TooLong, c"a duration must be at most half the range of the clock, 2147483648 us"),
    (Status::Zero, c"settle, timeout and late_step must be longer than 0"),
    (Status::FailsafeBeforeTimeout, c"failsafe_after must be timeout or longer"),
    (Status::OtherRule, c"the policy breaks a rule that has no status of its own: read the text"),
];

impl Status {
    /// The text of the status with this number.
    pub fn text_of(number: u8) -> &'static CStr {
        TEXTS.iter().find(|(status, _)| *status as u8 == number).map_or(c"no such status", |(_, text)| text)
    }
}

impl From<&PolicyError> for Status {
    fn from(why: &PolicyError) -> Self {
        match why {
            PolicyError::Engage { .. } => Self::Engage,
            PolicyError::Release { .. } => Self::Release,
            PolicyError::Confirm { .. } => Self::Confirm,
            PolicyError::Rest { .. } => Self::Rest,
            PolicyError::Window { .. } => Self::Window,
            PolicyError::Failsafe { .. } => Self::Failsafe,
            PolicyError::Plausible { .. } => Self::Plausible,
            PolicyError::NothingWatched => Self::NothingWatched,
            PolicyError::WatchedPastLast { .. } => Self::WatchedPastLast,
            PolicyError::SharedPastLast { .. } => Self::SharedPastLast,
            PolicyError::SharedUnwatched { .. } => Self::SharedUnwatched,
            PolicyError::Beyond { .. } => Self::Beyond,
            PolicyError::TooLong { .. } => Self::TooLong,
            PolicyError::Zero { .. } => Self::Zero,
            PolicyError::FailsafeBeforeTimeout { .. } => Self::FailsafeBeforeTimeout,
            _ => Self::OtherRule,
        }
    }
}
