//! An engine in memory that the caller owns, with its policy, and a seal before it.
//!
//! The seal says that there is an engine, and at which address it was started: memory that was copied byte by byte is
//! two engines, and control must not be decided twice.

use core::ffi::c_void;

use handback::{CheckedPolicy, Engine, Inputs, Instant};

use crate::frame::Frame;
use crate::outcome::Outcome;
use crate::policy::Policy;
use crate::refusal::Refusal;
use crate::status::Status;

/// The contents of memory in which an engine of `N` axes was started.
#[repr(C)]
pub(crate) struct Room<const N: usize> {
    /// First, so that it can be found before `N` is known.
    seal: Seal,
    engine: Engine<N, CheckedPolicy<N>>,
}

/// Distinguishes memory with an engine from other memory.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(C)]
pub(crate) struct Seal {
    mark: u32,
    /// The number of axes of the engine.
    pub(crate) width: u8,
    /// The number of axes of the policy.
    pub(crate) axis_count: u8,
    /// The address that the engine was started at.
    place: usize,
}

/// The inputs of one step, taken out of C's pointers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Moment<'a> {
    pub(crate) now: u32,
    pub(crate) instructor: Option<&'a Frame>,
    pub(crate) student: Option<&'a Frame>,
    pub(crate) lesson_switch: bool,
    pub(crate) instructor_now: bool,
}

impl Seal {
    /// A number that memory is not likely to hold by chance.
    const MARK: u32 = 0x7AB1_E5E7;

    /// The seal of memory without an engine.
    const BROKEN: Self = Self { mark: 0, width: 0, axis_count: 0, place: 0 };

    fn on<const N: usize>(memory: *mut Room<N>, axis_count: u8) -> Self {
        #[allow(clippy::cast_possible_truncation)] // at most 16
        let width = N as u8;
        Self { mark: Self::MARK, width, axis_count, place: memory.addr() }
    }

    /// The seal of an engine that was started in this memory and not moved.
    ///
    /// # Safety
    /// The memory is aligned to a seal and as large, nobody writes to it meanwhile, and its bytes are initialised.
    pub(crate) unsafe fn of(memory: *const c_void) -> Result<Self, Status> {
        // SAFETY: the caller guarantees it. Every value of these bytes is a seal, if a broken one.
        let seal = unsafe { memory.cast::<Self>().read() };
        if seal.mark != Self::MARK {
            return Err(Status::NotStarted);
        }
        if seal.place != memory.addr() {
            return Err(Status::Moved);
        }
        Ok(seal)
    }

    /// Ends the engine in this memory, if there is one.
    ///
    /// # Safety
    /// The memory is aligned to a seal and as large, and nobody else uses it meanwhile.
    pub(crate) unsafe fn break_on(memory: *mut c_void) {
        // SAFETY: the caller guarantees it. There is nothing to drop.
        unsafe { memory.cast::<Self>().write(Self::BROKEN) }
    }
}

/// Starts an engine.
///
/// # Safety
/// The memory is aligned to a `Room<N>` and as large; nobody else uses it as long as the engine is used.
pub(crate) unsafe fn start<const N: usize>(memory: *mut c_void, policy: &Policy) -> Result<(), Refusal> {
    let engine = Engine::owning(policy.check::<N>()?);
    let room = memory.cast::<Room<N>>();
    let seal = Seal::on(room, policy.axis_count);
    // SAFETY: the room is large enough and aligned. There is nothing to drop.
    unsafe { room.write(Room { seal, engine }) };
    Ok(())
}

/// One step of the engine.
///
/// # Safety
/// The memory has the seal of an engine of `N` axes, and nobody else uses it meanwhile.
pub(crate) unsafe fn step<const N: usize>(memory: *mut c_void, axis_count: u8, given: &Moment<'_>) -> Outcome {
    let room = memory.cast::<Room<N>>();
    // SAFETY: a sealed room holds an engine; the caller guarantees that nobody else borrows it.
    let engine = unsafe { &mut (*room).engine };
    let instructor = given.instructor.map(|frame| frame.in_engine(axis_count));
    let student = given.student.map(|frame| frame.in_engine(axis_count));
    let inputs = Inputs {
        instructor: instructor.as_ref(),
        student: student.as_ref(),
        lesson_switch: given.lesson_switch,
        instructor_now: given.instructor_now,
    };
    Outcome::from(&engine.step(Instant::from_ticks(given.now), inputs))
}
