//! How much stack a call uses: what lies below the stack pointer is painted before it, and searched for the deepest
//! change after it. Both are inlined into the caller and use registers only, or they would paint over themselves.

use core::arch::asm;

/// How far down is painted, in bytes; a call that goes deeper is said to use all of it.
pub const PAINTED: u32 = 1_536;

const PAINT: u32 = 0xA5C3_5A3C;

/// Paints.
#[inline(always)]
pub fn paint() {
    // SAFETY: nothing lives below the stack pointer, and as much stack as this is there.
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

/// How many bytes of the paint are gone, counted from its upper end to the deepest change.
#[inline(always)]
pub fn used() -> u32 {
    let used;
    // SAFETY: reads what was painted.
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
