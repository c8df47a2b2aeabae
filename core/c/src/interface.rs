//! The functions of the C interface. C's pointers are checked here, as far as a pointer can be checked.

use core::ffi::{c_char, c_void};

use crate::frame::Inputs;
use crate::instance::{INSTANCES, Instance};
use crate::outcome::Outcome;
use crate::pointer::{look, look_if_any, non_null_aligned};
use crate::policy::Policy;
use crate::refusal::Refusal;
use crate::room::{Moment, Seal};
use crate::status::Status;
use crate::text::Text;

/// An engine in the caller's memory.
#[derive(Debug)]
pub struct Engine {
    _opaque: [u8; 0],
}

/// Size of the memory of an engine for this number of axes, in bytes; 0 where this library has none.
#[unsafe(no_mangle)]
pub extern "C" fn handback_engine_size(axis_count: u8) -> usize {
    Instance::for_axes(axis_count).map_or(0, |instance| instance.size)
}

/// The required alignment of an engine's memory, in bytes.
#[unsafe(no_mangle)]
pub extern "C" fn handback_engine_align() -> usize {
    INSTANCES.iter().map(|instance| instance.align).max().unwrap_or(1)
}

/// Checks a policy (P1), copies it into `memory` of `size` bytes, and starts an engine there, at the start of a lesson
/// (S1). `*engine` then points to that engine. The engine needs no clean-up, and the policy is not read again.
///
/// After any status other than `HANDBACK_STATUS_OK`, `*engine` is null. An engine that was in `memory` before has then
/// ended, too.
///
/// # Safety
/// Each pointer is null or points to what its type says, `memory` to `size` bytes. As long as the engine is used,
/// nothing else writes to that memory, and the memory is not moved.
#[must_use]
#[unsafe(no_mangle)]
pub unsafe extern "C" fn handback_start(
    memory: *mut c_void,
    size: usize,
    policy: *const Policy,
    engine: *mut *mut Engine,
) -> Status {
    let told = match non_null_aligned(engine) {
        Ok(place) => place.cast_mut(),
        Err(status) => return status,
    };
    // SAFETY: it is neither null nor misaligned; the caller guarantees that it points to a pointer.
    unsafe { told.write(core::ptr::null_mut()) };
    // SAFETY: the caller guarantees the same.
    match unsafe { started(memory, size, policy) } {
        Ok(()) => {
            // SAFETY: as above.
            unsafe { told.write(memory.cast()) };
            Status::Ok
        }
        Err(status) => status,
    }
}

/// # Safety
/// That of [`handback_start`].
unsafe fn started(memory: *mut c_void, size: usize, policy: *const Policy) -> Result<(), Status> {
    // A seal has the alignment of every room.
    non_null_aligned(memory.cast::<Seal>())?;
    if size < size_of::<Seal>() {
        return Err(Status::MemoryTooSmall);
    }
    // SAFETY: it is aligned, and the caller guarantees that it is large enough.
    unsafe { Seal::break_on(memory) };
    // SAFETY: the caller guarantees it. Nothing writes to the policy before the engine has its copy.
    let policy = unsafe { look(policy) }?;
    let instance = Instance::for_policy(policy).map_err(|why| why.status())?;
    if size < instance.size {
        return Err(Status::MemoryTooSmall);
    }
    // SAFETY: it has the alignment of every room, and is as large as this one.
    unsafe { (instance.start)(memory, policy) }.map_err(|why| why.status())
}

/// One step of the lesson: call it for every frame, or more often.
///
/// After any status other than `HANDBACK_STATUS_OK`, no step was made and `*outcome` is unchanged: then stop the pulse
/// train, so that the receiver's own failsafe acts.
///
/// # Safety
/// Each pointer is null or points to what its type says. No other call uses this engine at the same time, not even from
/// an interrupt.
#[must_use]
#[unsafe(no_mangle)]
pub unsafe extern "C" fn handback_step(engine: *mut Engine, inputs: *const Inputs, outcome: *mut Outcome) -> Status {
    let said = match non_null_aligned(outcome) {
        Ok(place) => place.cast_mut(),
        Err(status) => return status,
    };
    // SAFETY: the caller guarantees the same.
    match unsafe { stepped(engine.cast(), inputs) } {
        Ok(outcome) => {
            // SAFETY: it is neither null nor misaligned; the caller guarantees that it points to an outcome. The inputs
            // are not borrowed any more, so a frame in them may be part of the last outcome.
            unsafe { said.write(outcome) };
            Status::Ok
        }
        Err(status) => status,
    }
}

/// # Safety
/// That of [`handback_step`].
unsafe fn stepped(memory: *mut c_void, inputs: *const Inputs) -> Result<Outcome, Status> {
    non_null_aligned(memory.cast::<Seal>())?;
    // SAFETY: it is aligned; the caller guarantees that an engine was to be started in this memory, which is then as
    // large as a seal.
    let seal = unsafe { Seal::of(memory) }?;
    let instance = Instance::of_width(seal.width).ok_or(Status::NotStarted)?;
    // SAFETY: the caller guarantees it.
    let inputs = unsafe { look(inputs) }?;
    // SAFETY: the caller guarantees it.
    let instructor = unsafe { look_if_any(inputs.instructor) }?;
    // SAFETY: the caller guarantees it.
    let student = unsafe { look_if_any(inputs.student) }?;
    let given = Moment {
        now: inputs.now,
        instructor,
        student,
        lesson_switch: inputs.lesson_switch != 0,
        instructor_now: inputs.instructor_now != 0,
    };
    // SAFETY: the seal is that of an engine of this width; the caller guarantees that nobody else uses it.
    Ok(unsafe { (instance.step)(memory, seal.axis_count, &given) })
}

/// Checks a policy as `handback_start` does, and says in words what is wrong with it: axis, field, value and what to
/// do. The text ends with a 0 byte and is cut where `size` ends; `HANDBACK_TEXT_SIZE` is enough. The text is empty
/// where nothing is wrong.
///
/// # Safety
/// Each pointer is null or points to what its type says, `text` to `size` bytes.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn handback_explain(policy: *const Policy, text: *mut c_char, size: usize) -> Status {
    if text.is_null() {
        return Status::Null;
    }
    if size == 0 {
        return Status::TextTooSmall;
    }
    // SAFETY: it is not null, and its bytes are initialised once they are written; the caller guarantees that there are
    // `size` bytes, and that nobody else uses them.
    let room = unsafe {
        text.cast::<u8>().write_bytes(0, size);
        core::slice::from_raw_parts_mut(text.cast::<u8>(), size)
    };
    let mut text = Text::new(room);
    // SAFETY: the caller guarantees it.
    let policy = match unsafe { look(policy) } {
        Ok(policy) => policy,
        Err(status) => {
            text.add_bytes(Status::text_of(status as u8).to_bytes());
            return status;
        }
    };
    match Instance::for_policy(policy).and_then(|instance| (instance.check)(policy)) {
        Ok(()) => Status::Ok,
        Err(why) => {
            why.tell(&mut text);
            Refusal::status(&why)
        }
    }
}

/// The meaning of a status in words, which end with a 0 byte and stay where they are.
#[unsafe(no_mangle)]
pub extern "C" fn handback_status_text(status: u8) -> *const c_char {
    Status::text_of(status).as_ptr()
}
