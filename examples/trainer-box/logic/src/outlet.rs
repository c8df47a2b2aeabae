//! What the craft is sent, edge by edge, and the safeguards against a loop that hangs.

use handback::ppm::{Edge, Encoder};
use handback::{AxisSet, Duration, Instant, Pulse};

use crate::plan::CheckedPlan;

/// The train ends when nobody has said what to send for longer than this: it would go on with the sticks of a lesson
/// that nobody watches. Own choice: far longer than a step takes, far shorter than people notice.
pub const DEAD_MAN: Duration = Duration::from_millis(100);

/// The craft's train, between the loop that decides and the timer's interrupt that sends.
///
/// Two things end a train that should not go on. The loop hangs: the interrupt finds that nobody has called
/// [`send`](Self::send) for [`DEAD_MAN`] and ends it. The interrupt hangs: the loop finds that
/// [`is_alive`](Self::is_alive) is false and does not feed the watchdog. Where both hang nobody feeds it anyway.
#[derive(Clone, Debug)]
pub struct Outlet<const M: usize> {
    encoder: Encoder<M>,
    /// When the loop last said what to send.
    told: Instant,
    /// The last edge that was given; `None` while no train goes on.
    last: Option<Instant>,
    limited: AxisSet,
}

impl<const M: usize> Outlet<M> {
    /// An outlet that sends nothing yet.
    pub fn new<const N: usize, const S: usize>(plan: &CheckedPlan<N, M, S>) -> Self {
        let encoder = plan.craft_train.clone();
        Self { encoder, told: Instant::from_ticks(0), last: None, limited: AxisSet::EMPTY }
    }

    /// From the loop, every step: send these pulses from the next frame on; `None` is no pulses, from the end of this
    /// frame on.
    ///
    /// Where a train begins, its first edge is returned, and the timer is to be set to it as for
    /// [`next_edge`](Self::next_edge). It lies one gap ahead, so that the line has rested.
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
                // It goes on in its own time, also where it was about to end. An edge may be given and still to come.
                let from = if ahead(last, now) > 0 { last } else { now };
                self.limited = self.encoder.start(later(from, gap), widths);
                None
            }
        }
    }

    /// From the timer's interrupt, when the last edge is on the line: the next one to set it to; `None` where the train
    /// is over and the line rests.
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

    /// Whether the watchdog may be fed: no train goes on, or its edges are asked for.
    pub const fn is_alive(&self, now: Instant) -> bool {
        // Between two edges at most a frame goes by.
        let overdue = self.encoder.setup().frame.as_ticks().saturating_mul(2).cast_signed();
        match self.last {
            Some(last) => ahead(now, last) <= overdue,
            None => true,
        }
    }

    /// The channels that were further out than the train's set-up allows, and are sent at its limit.
    pub const fn limited(&self) -> AxisSet {
        self.limited
    }
}

const fn later(instant: Instant, us: u32) -> Instant {
    Instant::from_ticks(instant.as_ticks().wrapping_add(us))
}

/// How far one instant is ahead of another, in microseconds; negative where it is behind. The clock may wrap.
const fn ahead(instant: Instant, of: Instant) -> i32 {
    instant.as_ticks().wrapping_sub(of.as_ticks()).cast_signed()
}
