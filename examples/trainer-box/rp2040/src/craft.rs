//! The line to the craft, set edge by edge in the timer interrupt.

use defmt::warn;
use embedded_hal::digital::OutputPin;
use handback::ppm::{Edge, Level};
use handback::{Instant, Pulse};
use rp2040_hal::gpio::bank0::Gpio4;
use rp2040_hal::gpio::{FunctionSioOutput, Pin, PullDown};
use rp2040_hal::timer::{Alarm, Alarm0, Instant as Moment, Timer};
use trainer_box::Outlet;

use crate::policy::CHANNELS;
use crate::stored::BoxPlan;

/// The pin of the line to the craft.
pub(crate) type CraftPin = Pin<Gpio4, FunctionSioOutput, PullDown>;

/// Bytes are passed to a computer only where no edge is due for this time, in microseconds. It is less than a usual
/// separator of 300 us, so every part of a train has room for it. An own choice, not measured on a board.
const CLEAR: i32 = 200;

/// The state that the loop and the timer interrupt share.
pub struct Craft {
    outlet: Outlet<CHANNELS>,
    pin: CraftPin,
    alarm: Alarm0,
    timer: Timer,
    /// The edge to which the alarm is set.
    next: Option<Edge>,
}

impl Craft {
    pub(crate) fn new(plan: &BoxPlan, pin: CraftPin, mut alarm: Alarm0, timer: Timer) -> Self {
        alarm.enable_interrupt();
        Self { outlet: Outlet::new(plan), pin, alarm, timer, next: None }
    }

    /// Sets the pulses. The loop calls it in every turn.
    pub(crate) fn send(&mut self, now: Instant, pulses: Option<&[Pulse; CHANNELS]>) {
        if let Some(first) = self.outlet.send(now, pulses) {
            self.set(first);
        }
    }

    /// Changes the line and sets the alarm to the next edge. The interrupt calls it.
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

    /// Whether the line rests: no train runs.
    pub(crate) const fn rests(&self) -> bool {
        self.outlet.rests()
    }

    /// Whether no edge is due within [`CLEAR`].
    pub(crate) fn is_clear(&self) -> bool {
        let now = self.timer.get_counter_low();
        self.next.is_none_or(|edge| edge.at.as_ticks().wrapping_sub(now).cast_signed() > CLEAR)
    }

    /// Whether the watchdog may be fed.
    pub(crate) const fn is_alive(&self, now: Instant) -> bool {
        self.outlet.is_alive(now)
    }

    /// Sets the alarm; an alarm in the past fires at once.
    fn set(&mut self, edge: Edge) {
        self.next = Some(edge);
        let now = self.timer.get_counter().ticks();
        let [a, b, c, d, ..] = now.to_le_bytes();
        let ahead = edge.at.as_ticks().wrapping_sub(u32::from_le_bytes([a, b, c, d])).cast_signed();
        let at = Moment::from_ticks(now.saturating_add_signed(i64::from(ahead)));
        if self.alarm.schedule_at(at).is_err() {
            warn!("the alarm was refused"); // no further edge comes, so the watchdog is not fed
        }
    }
}
