//! Calls all of handback that firmware calls, with values that the compiler knows nothing of. The image is linked, never
//! run: it must not contain the panic handler, which stays only where something can reach it (N1). See `.ci/no-panic`.
#![no_std]
#![no_main]

mod calibration;
mod channels;
mod cues;
mod engine;
mod pins;
mod ppm;
mod quantities;
mod preflight;

use core::hint::black_box;
use core::panic::PanicInfo;

use handback::{AxisRule, Policy};

/// Where the linker begins to look for what is reached.
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

/// A value that the compiler knows nothing of.
fn any<T>(value: T) -> T {
    black_box(value)
}

/// Has a value used.
fn used<T>(value: T) {
    black_box(&value);
}
