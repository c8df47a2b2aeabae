//! Calls every part of handback that firmware calls, with values that are unknown to the compiler. The image is linked
//! and never run. It must not contain the panic handler, which the linker keeps only if something can reach it (N1).
//! See `.ci/no-panic`.
#![no_std]
#![no_main]

mod calibration;
mod channels;
mod cues;
mod engine;
mod pins;
mod ppm;
mod preflight;
mod quantities;

use core::hint::black_box;
use core::panic::PanicInfo;

use handback::{AxisRule, Policy};

/// The entry, from which the linker looks for reachable code.
#[unsafe(no_mangle)]
pub extern "C" fn _start() {
    quantities::call();
    engine::call::<1>();
    engine::call::<4>();
    engine::call::<8>();
    engine::call::<16>();
    calibration::call::<1>(any(Policy::new([AxisRule::sprung(); 1])));
    calibration::call::<8>(any(Policy::new([AxisRule::sprung(); 8])));
    preflight::call::<1>(any(Policy::new([AxisRule::sprung(); 1])));
    preflight::call::<8>(any(Policy::new([AxisRule::sprung(); 8])));
    channels::call::<1>();
    channels::call::<8>();
    channels::call::<16>();
    ppm::call::<4>();
    ppm::call::<8>();
    ppm::call::<16>();
    pins::call();
}

#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    a_panic_is_reachable()
}

/// The name that must not be in the image.
#[inline(never)]
fn a_panic_is_reachable() -> ! {
    loop {
        black_box(());
    }
}

/// A value that is unknown to the compiler.
fn any<T>(value: T) -> T {
    black_box(value)
}

/// Makes the compiler treat the value as used.
fn used<T>(value: T) {
    black_box(&value);
}
