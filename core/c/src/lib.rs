//! The handback engine for C and C++.
//!
//! A C program includes `include/handback.h`, links the static library and brings the memory; nothing is allocated. The
//! functions are in [`interface`]; everything else is what they are made of. Nothing here decides who flies: that is
//! the crate `handback`, and a policy goes through its check (P1).
//!
//! # Map
//! - [`interface`]: the functions, and the only file that C's pointers come into.
//! - [`policy`]: what the user decides, as plain C data; [`refusal`]: why it was refused, told in words by [`text`].
//! - [`frame`], [`outcome`]: what a step is given and what it says.
//! - [`room`]: an engine in memory that the caller owns; [`instance`]: the engines that this library was built with.
//! - [`pointer`]: what a pointer must pass before it is followed.
//! - [`status`]: every way that a call can end, by name.
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

/// Nothing here panics, and the check of the linked image shows it. The compiler wants to be told nevertheless what a
/// panic would do: stop, so that the watchdog starts the box anew, in which the instructor has the craft (S1).
#[cfg(target_os = "none")]
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    loop {
        core::hint::spin_loop();
    }
}
