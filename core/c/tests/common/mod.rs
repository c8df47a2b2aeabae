//! An engine started as C starts it, in memory of exactly the size that it asks for, so that an access beyond it is
//! detected.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used)]

use std::alloc::{Layout, alloc_zeroed, dealloc};
use std::ffi::{CStr, c_void};
use std::mem::MaybeUninit;
use std::ptr::null_mut;

use handback_c::frame::{Inputs, MAX_AXES};
use handback_c::interface::{
    Engine, handback_engine_align, handback_engine_size, handback_explain, handback_start, handback_step,
};
use handback_c::outcome::Outcome;
use handback_c::policy::{AxisRule, Policy};
use handback_c::status::Status;

/// Memory from the heap.
pub struct Memory {
    pub bytes: *mut u8,
    pub layout: Layout,
}

impl Memory {
    pub fn new(size: usize) -> Self {
        let layout = Layout::from_size_align(size, handback_engine_align()).unwrap();
        // SAFETY: its size is not 0.
        Self { bytes: unsafe { alloc_zeroed(layout) }, layout }
    }

    pub fn for_axes(count: u8) -> Self {
        Self::new(handback_engine_size(count))
    }

    /// The status of a start in this memory, and the engine.
    pub fn start(&self, policy: &Policy) -> (Status, *mut Engine) {
        let mut engine = null_mut();
        // SAFETY: the memory has this size, and both others are references.
        let status = unsafe {
            handback_start(self.bytes.cast::<c_void>(), self.layout.size(), &raw const *policy, &raw mut engine)
        };
        (status, engine)
    }
}

impl Drop for Memory {
    fn drop(&mut self) {
        // SAFETY: it was allocated with this layout.
        unsafe { dealloc(self.bytes, self.layout) }
    }
}

/// The outcome of the step, or why there is none.
pub fn step(engine: *mut Engine, inputs: &Inputs) -> Result<Outcome, Status> {
    let mut outcome = MaybeUninit::uninit();
    // SAFETY: the engine is one, or memory that is at least as large as its seal; both others are references.
    match unsafe { handback_step(engine, &raw const *inputs, outcome.as_mut_ptr()) } {
        // SAFETY: a good step writes it.
        Status::Ok => Ok(unsafe { outcome.assume_init() }),
        status => Err(status),
    }
}

/// The status and the text of the policy, in room of this size.
pub fn explain(policy: &Policy, size: usize) -> (Status, String) {
    let mut room = vec![0x55; size].into_boxed_slice();
    // SAFETY: the room has this size.
    let status = unsafe { handback_explain(&raw const *policy, room.as_mut_ptr().cast(), size) };
    (status, CStr::from_bytes_until_nul(&room).unwrap().to_str().unwrap().to_owned())
}

/// The usual policy of `count` sprung axes.
pub fn sprung(count: u8) -> Policy {
    let rule = AxisRule { engage: 328, release: 164, confirm: 1, ..AxisRule::default() };
    let all = handback::AxisSet::first(count.into()).to_bits();
    Policy {
        size: u16::try_from(size_of::<Policy>()).unwrap(),
        axis_count: count,
        watched: all,
        shared: all,
        plausible: 24_576,
        settle: 30_000,
        dwell: 300_000,
        fade: 200_000,
        pickup_max: 2_000_000,
        timeout: 150_000,
        requalify: 1_000_000,
        failsafe_after: 1_000_000,
        late_step: 250_000,
        off_first_after_loss: 1,
        axes: [rule; MAX_AXES],
        ..Policy::default()
    }
}

/// A step without a frame.
pub fn nothing(now: u32) -> Inputs {
    Inputs { now, instructor: std::ptr::null(), student: std::ptr::null(), lesson_switch: 0, instructor_now: 0 }
}
