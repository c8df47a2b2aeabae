//! The line to the craft, edge by edge, out of the timer's interrupt.

use defmt::warn;
use embedded_hal::digital::OutputPin;
use handback::ppm::{Edge, Level};
use handback::{Instant, Pulse};
use rp2040_hal::gpio::bank0::Gpio4;
use rp2040_hal::gpio::{FunctionSioOutput, Pin, PullDown};
use rp2040_hal::timer::{Alarm, Alarm0, Instant as Moment, Timer};
use trainer_box::Outlet;

use crate::policy::{CHANNELS, PLAN};

/// The pin that the craft listens to.
pub(crate) type CraftPin = Pin<Gpio4, FunctionSioOutput, PullDown>;

/// What the loop and the timer's interrupt share.
pub struct Craft {
    outlet: Outlet<CHANNELS>,
    pin: CraftPin,
    alarm: Alarm0,
    timer: Timer,
    /// The edge that the alarm is set to.
    next: Option<Edge>,
}

impl Craft {
    pub(crate) fn new(pin: CraftPin, mut alarm: Alarm0, timer: Timer) -> Self {
        alarm.enable_interrupt();
        Self { outlet: Outlet::new(&PLAN), pin, alarm, timer, next: None }
    }

    /// From the loop, every turn.
    pub(crate) fn send(&mut self, now: Instant, pulses: Option<&[Pulse; CHANNELS]>) {
        if let Some(first) = self.outlet.send(now, pulses) {
            self.set(first);
        }
    }

    /// From the interrupt: the line changes now, and the alarm is set to the next change.
    pub(crate) fn alarm(&mut self) {
        self.alarm.clear_interrupt();
        let Some(edge) = self.next.take() else { return };
        let Ok(()) = match edge.level {
            Level::High => self.pin.set_high(),
            Level::Low => self.pin.set_low(),
        };
        if let Some(next) = self.outlet.next_edge() {
            self.set(next);
        }
    }

    /// Whether the watchdog may be fed.
    pub(crate) const fn is_alive(&self, now: Instant) -> bool {
        self.outlet.is_alive(now)
    }

    /// Sets the alarm; one in the past goes off at once.
    fn set(&mut self, edge: Edge) {
        self.next = Some(edge);
        let now = self.timer.get_counter().ticks();
        let [a, b, c, d, ..] = now.to_le_bytes();
        let ahead = edge.at.as_ticks().wrapping_sub(u32::from_le_bytes([a, b, c, d])).cast_signed();
        let at = Moment::from_ticks(now.saturating_add_signed(i64::from(ahead)));
        if self.alarm.schedule_at(at).is_err() {
            warn!("the alarm was refused"); // then no edge comes, and the watchdog is not fed
        }
    }
}
