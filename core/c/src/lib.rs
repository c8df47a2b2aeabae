//! The handback engine for C and C++.
//!
//! A C program includes `include/handback.h`, links the static library and provides the memory; nothing is allocated.
//! The functions are in [`interface`]; all other modules serve them. Nothing here decides who flies: the crate
//! `handback` does, and it also checks every policy (P1).
//!
//! # Map
//! - [`interface`]: the functions; the only file that receives pointers from C.
//! - [`policy`]: a policy as plain C data; [`refusal`]: why it was refused, told in words by [`text`].
//! - [`frame`], [`outcome`]: the inputs and the outcome of a step.
//! - [`room`]: an engine in memory that the caller owns; [`instance`]: the engines that this library was built with.
//! - [`pointer`]: the checks of a pointer before it is followed.
//! - [`status`]: every result of a call, by name.
//!
//! # Unsafe
//! All of it is in `interface`, `pointer` and `room`, each block with its reason.
#![no_std]

#[cfg(not(target_os = "none"))]
extern crate std;

#[cfg(not(any(feature = "axes-4", feature = "axes-8", feature = "axes-16")))]
compile_error!("build it with an engine: one or more of the features axes-4, axes-8, axes-16");

pub mod frame;
pub mod instance;
pub mod interface;
pub mod outcome;
pub mod pointer;
pub mod policy;
pub mod refusal;
pub mod room;
pub mod status;
pub mod text;

/// Nothing here panics, and the check of the linked image shows it. The compiler needs a panic handler nevertheless. It
/// stops, so that the watchdog restarts the box; the instructor then has the craft (S1).
#[cfg(target_os = "none")]
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    loop {
        core::hint::spin_loop();
    }
}
