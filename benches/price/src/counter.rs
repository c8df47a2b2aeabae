//! Counts instructions by the processor's own timer. The emulator lets a fixed time pass per instruction, so ticks of
//! the timer are instructions. The number of ticks per instruction is known for each board, and is checked against code
//! of known cost.

use core::arch::naked_asm;
use core::hint::black_box;
use core::mem::MaybeUninit;

use cortex_m::peripheral::{Peripherals, SYST, syst::SystClkSource};

use crate::stack;

/// A function that can be counted: the value that it changes, an instant, its inputs, and its answer.
pub type Counted<S, G, A> = unsafe extern "C" fn(&mut S, u32, &G) -> MaybeUninit<A>;

/// The cost of one call.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Instructions.
    pub instructions: u32,
    /// Bytes of stack.
    pub stack: u32,
}

/// The readings around one call.
struct Reading {
    ticks: u32,
    stack: u32,
}

/// Ticks of 1000 instructions: one takes 2^10 ns (`-icount shift=10`), and the boards' timers run at 16 and 25 MHz.
const TICKS: u64 = if cfg!(microbit) { 16_384 } else { 25_600 };

/// The timer counts down to 0 from here.
const WRAP: u32 = 0x00FF_FFFF;

/// Starts the timer.
pub fn start() {
    let Some(mut peripherals) = Peripherals::take() else { return };
    let timer = &mut peripherals.SYST;
    timer.set_clock_source(SystClkSource::Core);
    timer.set_reload(WRAP);
    timer.clear_current();
    timer.enable_counter();
}

/// The cost of one call of `counted`, less the cost of a call that returns at once; and the answer of `counted`.
///
/// # Safety
/// `counted` must be safe to call with these arguments, and must answer.
pub unsafe fn count<S, G, A>(counted: Counted<S, G, A>, subject: &mut S, now: u32, given: &G) -> (Cost, A) {
    // SAFETY: the function that returns at once touches nothing, and nothing reads its answer; the caller guarantees
    // the rest.
    unsafe {
        let (idle, _) = call(black_box(nothing::<S, G, A>), subject, now, given);
        let (all, answer) = call(black_box(counted), subject, now, given);
        (all.less(&idle), answer.assume_init())
    }
}

/// Reads timer and stack around one call. Never inlined, so that every call is made in the same way. Computes nothing,
/// since that could take stack.
#[inline(never)]
unsafe fn call<S, G, A>(counted: Counted<S, G, A>, subject: &mut S, now: u32, given: &G) -> (Reading, MaybeUninit<A>) {
    stack::paint();
    let before = SYST::get_current();
    // SAFETY: the caller guarantees it.
    let answer = unsafe { counted(subject, now, given) };
    let after = SYST::get_current();
    let stack = stack::used();
    (Reading { ticks: before.wrapping_sub(after) & WRAP, stack }, answer)
}

impl Reading {
    fn less(&self, idle: &Self) -> Cost {
        let instructions = |ticks| u32::try_from((u64::from(ticks) * 1_000 + TICKS / 2) / TICKS).unwrap_or(u32::MAX);
        Cost {
            instructions: instructions(self.ticks).saturating_sub(instructions(idle.ticks)),
            stack: self.stack.saturating_sub(idle.stack),
        }
    }
}

/// Returns at once, without an answer.
#[unsafe(naked)]
extern "C" fn nothing<S, G, A>(_: &mut S, _: u32, _: &G) -> MaybeUninit<A> {
    naked_asm!("bx lr")
}

/// Takes 2 * `TIMES` + 1 instructions.
#[unsafe(naked)]
extern "C" fn looping<const TIMES: u8>(_: &mut (), _: u32, _: &()) -> MaybeUninit<()> {
    naked_asm!("movs r0, #{}", "2:", "subs r0, #1", "bne 2b", "bx lr", const TIMES)
}

/// Takes two words of stack, in four instructions.
#[unsafe(naked)]
extern "C" fn pushing(_: &mut (), _: u32, _: &()) -> MaybeUninit<()> {
    naked_asm!("push {{r0, r1}}", "nop", "nop", "pop {{r0, r1}}", "bx lr")
}

/// Checks the counter against code of known cost. The error is the first cost that is counted wrong: expected, then
/// counted.
pub fn check() -> Result<(), (Cost, Cost)> {
    let known: [(Counted<(), (), ()>, Cost); 6] = [
        (nothing, Cost { instructions: 0, stack: 0 }),
        (looping::<1>, Cost { instructions: 3, stack: 0 }),
        (looping::<2>, Cost { instructions: 5, stack: 0 }),
        (looping::<100>, Cost { instructions: 201, stack: 0 }),
        (looping::<255>, Cost { instructions: 511, stack: 0 }),
        (pushing, Cost { instructions: 4, stack: 8 }),
    ];
    for (counted, expected) in known {
        // SAFETY: the known code is safe, and its answer is nothing.
        let (found, ()) = unsafe { count(counted, &mut (), 0, &()) };
        if found != expected {
            return Err((expected, found));
        }
    }
    Ok(())
}
