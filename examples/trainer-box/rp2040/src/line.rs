//! The two lines from the transmitters, read edge by edge in the pin interrupt.
//!
//! The interrupt runs inside the critical sections of the libraries too (`critical.rs`): it must not log, and must use
//! nothing that enters a section.

use core::sync::atomic::{AtomicBool, Ordering};

use embedded_hal::digital::InputPin;
use handback::Instant;
use handback::ppm::{Edge, Level};
use heapless::spsc::{Consumer, Producer};
use rp2040_hal::gpio::{DynPinId, FunctionSioInput, Interrupt, Pin, PullDown};
use trainer_box::Side;

/// The pin of a transmitter's line. It is pulled down, so a line whose cable is out is low.
pub(crate) type LinePin = Pin<DynPinId, FunctionSioInput, PullDown>;

/// Number of edges that the queue from the interrupt to the loop holds; a power of two. The loop runs every
/// millisecond, in which two trains have about two edges.
pub(crate) const ROOM: usize = 128;

/// An edge and its transmitter.
pub(crate) type Heard = (Side, Edge);

/// The end of the queue from which the loop takes edges.
pub(crate) type Edges = Consumer<'static, Heard>;

/// Whether the queue was full, so that edges were lost.
static OVERRUN: AtomicBool = AtomicBool::new(false);

/// Whether edges were lost since the last call.
pub(crate) fn overrun() -> bool {
    // The processor has no atomic exchange. An overrun between load and store counts as the same overrun.
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

    /// Passes on an edge of each line that changed. Its level is read from the pin. Two changes close together give one
    /// edge to the level that the line already had, which the decoder detects as a fault.
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
