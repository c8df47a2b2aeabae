//! The train to the craft, edge by edge, and the safeguards against a loop that hangs.

use handback::ppm::{Edge, Encoder};
use handback::{AxisSet, Duration, Instant, Pulse};

use crate::plan::CheckedPlan;

/// The train ends when the loop has not called [`Outlet::send`] for longer than this. Otherwise it would repeat old
/// stick positions. Own choice: much longer than a step takes, and too short for people to notice.
pub const DEAD_MAN: Duration = Duration::from_millis(100);

/// The train to the craft, between the loop that decides and the timer interrupt that sends.
///
/// Two safeguards end a train that must not continue. Where the loop hangs, the interrupt finds that
/// [`send`](Self::send) was not called for [`DEAD_MAN`], and ends the train. Where the interrupt hangs, the loop finds
/// that [`is_alive`](Self::is_alive) is false, and does not feed the watchdog. Where both hang, the watchdog is not fed
/// either.
#[derive(Clone, Debug)]
pub struct Outlet<const M: usize> {
    encoder: Encoder<M>,
    /// The time of the last call of `send`.
    told: Instant,
    /// The time of the last edge that was returned; `None` while there is no train.
    last: Option<Instant>,
    limited: AxisSet,
}

impl<const M: usize> Outlet<M> {
    /// An outlet without a train.
    pub fn new<const N: usize, const S: usize>(plan: &CheckedPlan<N, M, S>) -> Self {
        let encoder = plan.craft_train.clone();
        Self { encoder, told: Instant::from_ticks(0), last: None, limited: AxisSet::EMPTY }
    }

    /// Sets the pulses from the next frame on; `None` ends the train at the end of the present frame. The loop calls it
    /// in every step.
    ///
    /// Where a train begins, it returns the first edge, to which the timer must be set as for
    /// [`next_edge`](Self::next_edge). The edge is one gap ahead, so that the line has been at rest.
    #[must_use = "the timer is to be set to the first edge of a train"]
    pub fn send(&mut self, now: Instant, pulses: Option<&[Pulse; M]>) -> Option<Edge> {
        self.told = now;
        let Some(widths) = pulses else {
            self.encoder.stop();
            return None;
        };
        let gap = self.encoder.setup().gap.as_ticks();
        match self.last {
            None => {
                self.limited = self.encoder.start(later(now, gap), widths);
                self.next_edge()
            }
            Some(last) => {
                // The train keeps its own timing, even where it was about to end. The last returned edge may be in the
                // future.
                let from = if ahead(last, now) > 0 { last } else { now };
                self.limited = self.encoder.start(later(from, gap), widths);
                None
            }
        }
    }

    /// The next edge of the line; `None` where the train is over and the line rests. The timer interrupt calls it after
    /// it has set the last edge.
    pub fn next_edge(&mut self) -> Option<Edge> {
        if let Some(last) = self.last
            && ahead(last, self.told) > DEAD_MAN.as_ticks().cast_signed()
        {
            self.encoder.stop();
        }
        let edge = self.encoder.next_edge();
        self.last = edge.map(|edge| edge.at);
        edge
    }

    /// Whether the watchdog may be fed: there is no train, or its edges are still fetched.
    pub const fn is_alive(&self, now: Instant) -> bool {
        // Two edges are at most one frame apart.
        let overdue = self.encoder.setup().frame_length.as_ticks().saturating_mul(2).cast_signed();
        match self.last {
            Some(last) => ahead(now, last) <= overdue,
            None => true,
        }
    }

    /// Whether the line rests: there is no train, and none is about to end.
    pub const fn rests(&self) -> bool {
        self.last.is_none()
    }

    /// The channels whose pulse is beyond the limits of the train's set-up and is sent at the limit.
    pub const fn limited(&self) -> AxisSet {
        self.limited
    }
}

const fn later(instant: Instant, us: u32) -> Instant {
    Instant::from_ticks(instant.as_ticks().wrapping_add(us))
}

/// The time from `of` to `instant` in microseconds, negative where `instant` is earlier. The clock may wrap.
const fn ahead(instant: Instant, of: Instant) -> i32 {
    instant.as_ticks().wrapping_sub(of.as_ticks()).cast_signed()
}
