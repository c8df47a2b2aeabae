//! Measures the stack of a call. The memory below the stack pointer is painted before the call, and searched for the
//! deepest change after it. Both functions are inlined into the caller and use registers only, otherwise they would
//! change the paint themselves.

use core::arch::asm;

/// Number of bytes that are painted; a call that goes deeper counts as using all of them.
pub const PAINTED: u32 = 1_536;

const PAINT: u32 = 0xA5C3_5A3C;

/// Paints the memory below the stack pointer.
#[inline(always)]
pub fn paint() {
    // SAFETY: nothing is stored below the stack pointer, and there is this much stack.
    unsafe {
        asm!(
            "mov {at}, sp",
            "2:",
            "subs {at}, #4",
            "str {paint}, [{at}]",
            "subs {left}, #4",
            "bne 2b",
            at = out(reg) _,
            left = inout(reg) PAINTED => _,
            paint = in(reg) PAINT,
            options(nostack),
        );
    }
}

/// Number of bytes of paint from its upper end to the deepest change.
#[inline(always)]
pub fn used() -> u32 {
    let used;
    // SAFETY: reads only painted memory.
    unsafe {
        asm!(
            "mov {at}, sp",
            "subs {at}, {at}, {used}",
            "2:",
            "ldr {seen}, [{at}]",
            "cmp {seen}, {paint}",
            "bne 3f",
            "adds {at}, #4",
            "subs {used}, #4",
            "bne 2b",
            "3:",
            at = out(reg) _,
            seen = out(reg) _,
            paint = in(reg) PAINT,
            used = inout(reg) PAINTED => used,
            options(nostack, readonly),
        );
    }
    used
}
