//! The two lines from the transmitters, edge by edge, out of the interrupt of the pins.

use core::sync::atomic::{AtomicBool, Ordering};

use embedded_hal::digital::InputPin;
use handback::Instant;
use handback::ppm::{Edge, Level};
use heapless::spsc::{Consumer, Producer};
use rp2040_hal::gpio::{DynPinId, FunctionSioInput, Interrupt, Pin, PullDown};
use trainer_box::Side;

/// A pin that hears a transmitter. Pulled down: a cable that is out is a line at rest.
pub(crate) type LinePin = Pin<DynPinId, FunctionSioInput, PullDown>;

/// Edges on their way from the interrupt to the loop; a power of two. The loop comes by every millisecond, and two
/// trains have about two edges then.
pub(crate) const ROOM: usize = 128;

/// An edge, and whose it is.
pub(crate) type Heard = (Side, Edge);

/// What the loop takes them from.
pub(crate) type Edges = Consumer<'static, Heard>;

/// The edges came faster than the loop.
static OVERRUN: AtomicBool = AtomicBool::new(false);

/// Whether edges were lost since this was last asked.
pub(crate) fn overrun() -> bool {
    // The processor has no exchange; an overrun between the two is another one of the same.
    let lost = OVERRUN.load(Ordering::Acquire);
    if lost {
        OVERRUN.store(false, Ordering::Release);
    }
    lost
}

/// Both lines, for the interrupt.
pub(crate) struct Lines {
    pins: [(Side, LinePin); 2],
    to: Producer<'static, Heard>,
}

impl Lines {
    pub(crate) fn new(instructor: LinePin, student: LinePin, to: Producer<'static, Heard>) -> Self {
        for pin in [&instructor, &student] {
            pin.set_interrupt_enabled(Interrupt::EdgeHigh, true);
            pin.set_interrupt_enabled(Interrupt::EdgeLow, true);
        }
        Self { pins: [(Side::Instructor, instructor), (Side::Student, student)], to }
    }

    /// A line changed its level about now. What is passed on is what the pin reads: two changes at once are told as one
    /// edge to the level that the line had, and the decoder takes that for the fault that it is.
    pub(crate) fn changed(&mut self, now: Instant) {
        for (side, pin) in &mut self.pins {
            let (rose, fell) = (pin.interrupt_status(Interrupt::EdgeHigh), pin.interrupt_status(Interrupt::EdgeLow));
            if rose || fell {
                pin.clear_interrupt(Interrupt::EdgeHigh);
                pin.clear_interrupt(Interrupt::EdgeLow);
                let Ok(high) = pin.is_high();
                let level = Level::from(high);
                if self.to.enqueue((*side, Edge { at: now, level })).is_err() {
                    OVERRUN.store(true, Ordering::Release);
                }
            }
        }
    }
}
