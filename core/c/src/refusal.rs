//! Why a policy was refused, with the data of the message.

use handback::PolicyError;

use crate::status::Status;
use crate::text::Text;

/// Why a policy was refused, whether as C data or as a policy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// The policy has this size, which is not this library's.
    OtherHeader(u16),
    /// No engine of this library has this number of axes.
    AxisCount(u8),
    /// No scope has this number.
    UnknownScope(u8),
    /// No kind of rest has this number.
    UnknownRest {
        /// The axis.
        axis: u8,
        /// The number.
        kind: u8,
    },
    /// No transfer has this number.
    UnknownTransfer {
        /// The axis.
        axis: u8,
        /// The number.
        kind: u8,
    },
    /// The policy fails its check (P1).
    Policy(PolicyError),
}

impl Refusal {
    /// The status of the same name.
    pub fn status(&self) -> Status {
        match self {
            Self::OtherHeader(_) => Status::OtherHeader,
            Self::AxisCount(_) => Status::AxisCount,
            Self::UnknownScope(_) => Status::UnknownScope,
            Self::UnknownRest { .. } => Status::UnknownRest,
            Self::UnknownTransfer { .. } => Status::UnknownTransfer,
            Self::Policy(why) => why.into(),
        }
    }

    /// Says axis, field, value and what to do.
    pub fn tell(&self, text: &mut Text<'_>) {
        let (axis, field, value) = match *self {
            Self::Policy(why) => return text.add(why.message().as_str()),
            Self::OtherHeader(size) => (None, "size", size),
            Self::AxisCount(count) => (None, "axis_count", count.into()),
            Self::UnknownScope(scope) => (None, "scope", scope.into()),
            Self::UnknownRest { axis, kind } => (Some(axis), "rest_kind", kind.into()),
            Self::UnknownTransfer { axis, kind } => (Some(axis), "transfer", kind.into()),
        };
        if let Some(axis) = axis {
            text.add("axis ");
            text.add_number(axis.into());
            text.add(": ");
        }
        text.add(field);
        text.add(" is ");
        text.add_number(value);
        text.add(": ");
        text.add_bytes(Status::text_of(self.status() as u8).to_bytes());
    }
}
