//! The engines that this library was built with. Each is compiled for its own number of axes, which takes flash. A
//! policy is flown by the smallest engine that holds it; the axes left over are neither watched nor shared.

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
/// The alignment of an engine's memory that is enough on every target; `handback_engine_align()` may give less.
pub const ENGINE_ALIGN: usize = 8;

/// An engine for a number of axes.
#[derive(Debug)]
pub(crate) struct Instance {
    /// The number of axes.
    pub(crate) axes: u8,
    /// Size of its memory, in bytes.
    pub(crate) size: usize,
    pub(crate) align: usize,
    /// Checks a policy for this engine.
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

    /// The smallest engine for this number of axes.
    pub(crate) fn for_axes(count: u8) -> Result<&'static Self, Refusal> {
        INSTANCES.iter().find(|one| (1..=one.axes).contains(&count)).ok_or(Refusal::AxisCount(count))
    }

    /// The engine of exactly this number of axes.
    pub(crate) fn of_width(width: u8) -> Option<&'static Self> {
        INSTANCES.iter().find(|one| one.axes == width)
    }

    /// The engine for a policy, if the size of the policy is that of this library's policies.
    pub(crate) fn for_policy(policy: &Policy) -> Result<&'static Self, Refusal> {
        if usize::from(policy.size) != size_of::<Policy>() {
            return Err(Refusal::OtherHeader(policy.size));
        }
        Self::for_axes(policy.axis_count)
    }
}
