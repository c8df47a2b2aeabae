//! The smallest firmware that steps an engine; without the feature `engine`, the same firmware without the engine. The
//! difference of their sizes is the engine's flash. `PRICE_AXES` is the number of axes.
#![no_std]
#![no_main]

#[path = "../policy.rs"]
mod policy;

use core::hint::black_box;
use core::panic::PanicInfo;

#[cfg(feature = "engine")]
use handback::Engine;
use handback::{CheckedPolicy, Frame, Inputs, Instant, Scope};

use crate::policy::everything_on;

const AXES: usize = match option_env!("PRICE_AXES") {
    Some(axes) => match axes.as_bytes() {
        b"4" => 4,
        b"8" => 8,
        b"16" => 16,
        _ => panic!("PRICE_AXES is 4, 8 or 16"),
    },
    None => 4,
};

static POLICY: CheckedPolicy<AXES> = handback::checked!(everything_on(Scope::Craft));

#[cortex_m_rt::entry]
fn main() -> ! {
    // Otherwise the compiler would build an engine for this one policy.
    let policy = black_box(&POLICY);
    #[cfg(feature = "engine")]
    let mut engine = Engine::new(policy);
    loop {
        let (now, instructor, student) = black_box((0, Frame::<AXES>::CENTRE, Frame::<AXES>::CENTRE));
        let inputs = Inputs {
            instructor: Some(&instructor),
            student: Some(&student),
            lesson_switch: black_box(true),
            instructor_now: black_box(false),
        };
        let now = Instant::from_ticks(now);
        #[cfg(feature = "engine")]
        black_box(&engine.step(now, inputs));
        #[cfg(not(feature = "engine"))]
        black_box((now, &inputs, policy));
    }
}

#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    loop {}
}
