//! The engines that this library was built with. Each is compiled for its own number of axes, which takes flash; a
//! policy is flown by the smallest that holds it, and the axes that are left over take part in nothing.

use core::ffi::c_void;

use crate::outcome::Outcome;
use crate::policy::Policy;
use crate::refusal::Refusal;
use crate::room::{Moment, Room, Seal, start, step};

/// Bytes of memory that are enough for an engine of up to 4 axes, on every target.
pub const ENGINE_SIZE_4: usize = 512;
/// Bytes of memory that are enough for an engine of up to 8 axes, on every target.
pub const ENGINE_SIZE_8: usize = 768;
/// Bytes of memory that are enough for an engine of up to 16 axes, on every target.
pub const ENGINE_SIZE_16: usize = 1280;
/// What the memory of an engine must be aligned to, on every target; `handback_engine_align()` may say less.
pub const ENGINE_ALIGN: usize = 8;

/// An engine for a number of axes.
#[derive(Debug)]
pub(crate) struct Instance {
    /// How many.
    pub(crate) axes: u8,
    /// Of its memory, in bytes.
    pub(crate) size: usize,
    pub(crate) align: usize,
    /// Whether a policy passes for it.
    pub(crate) check: fn(&Policy) -> Result<(), Refusal>,
    pub(crate) start: unsafe fn(*mut c_void, &Policy) -> Result<(), Refusal>,
    pub(crate) step: unsafe fn(*mut c_void, u8, &Moment<'_>) -> Outcome,
}

/// Smallest first.
pub(crate) static INSTANCES: &[Instance] = &[
    #[cfg(feature = "axes-4")]
    Instance::of::<4, ENGINE_SIZE_4>(),
    #[cfg(feature = "axes-8")]
    Instance::of::<8, ENGINE_SIZE_8>(),
    #[cfg(feature = "axes-16")]
    Instance::of::<16, ENGINE_SIZE_16>(),
];

impl Instance {
    const fn of<const N: usize, const ENOUGH: usize>() -> Self {
        const {
            assert!(size_of::<Room<N>>() <= ENOUGH, "the engine has grown: raise the ENGINE_SIZE of this many axes");
            assert!(align_of::<Room<N>>() <= ENGINE_ALIGN, "the engine needs more alignment: raise ENGINE_ALIGN");
            assert!(align_of::<Seal>() == align_of::<Room<N>>(), "a seal must be found wherever a room may be");
        }
        #[allow(clippy::cast_possible_truncation)] // at most 16
        let axes = N as u8;
        Self {
            axes,
            size: size_of::<Room<N>>(),
            align: align_of::<Room<N>>(),
            check: |policy| policy.check::<N>().map(|_| ()),
            start: start::<N>,
            step: step::<N>,
        }
    }

    /// The smallest engine for so many axes.
    pub(crate) fn for_axes(count: u8) -> Result<&'static Self, Refusal> {
        INSTANCES.iter().find(|one| (1..=one.axes).contains(&count)).ok_or(Refusal::AxisCount(count))
    }

    /// The engine of exactly so many axes.
    pub(crate) fn of_width(width: u8) -> Option<&'static Self> {
        INSTANCES.iter().find(|one| one.axes == width)
    }

    /// The engine for a policy, if the policy is one of this library's.
    pub(crate) fn for_policy(policy: &Policy) -> Result<&'static Self, Refusal> {
        if usize::from(policy.size) != size_of::<Policy>() {
            return Err(Refusal::OtherHeader(policy.size));
        }
        Self::for_axes(policy.axis_count)
    }
}
