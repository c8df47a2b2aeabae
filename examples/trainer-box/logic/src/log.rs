//! The log: a small ring buffer of events, written by the box and emptied by the firmware.

use handback::ppm::{Fault, Tally};
use handback::preflight::{Action, Finding, Obstacle};
use handback::{Event, Instant};
use heapless::Deque;

use crate::trainer_box::Side;

/// One entry of the log.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub struct Entry {
    /// The time of the event.
    pub at: Instant,
    /// The event.
    pub what: What,
}

/// An event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum What {
    /// The box started or was reset. The instructor has the craft, and the lesson switch must be seen off first (S1,
    /// S2).
    Started,
    /// The pilot changed (A1).
    Changed(Event),
    /// The pulses to the craft begin.
    TrainBegins,
    /// Nobody flies, and the pulses to the craft stop, so that the receiver's failsafe acts (I2).
    TrainStops,
    /// A frame was dropped. It is logged when the count of its kind is 1, 2, 4, 8 and so on.
    Dropped {
        /// The side whose frame it was.
        side: Side,
        /// The fault in it.
        fault: Fault,
        /// The count so far.
        times: u32,
    },
    /// A frame was complete, but a stick that matters was out of range, so that it counts as no frame. It is logged
    /// when the count is 1, 2, 4, 8 and so on.
    OutOfRange {
        /// The side whose frame it was.
        side: Side,
        /// The count so far.
        times: u32,
    },
    /// The box checks the bench until it is powered off and on; the craft gets the failsafe of the throttle.
    CheckBegins,
    /// The next step of the check.
    Asks(Action),
    /// Why the check does not begin.
    Refuses(Obstacle),
    /// A finding of the check.
    Found(Finding),
    /// The check is over.
    CheckEnds {
        /// Whether nothing was found.
        passed: bool,
    },
    /// This number of entries before this one was lost, because the ring was full.
    Missing(u32),
}

/// Number of entries that the ring holds.
const ROOM: usize = 32;

/// The ring. A new entry in a full ring replaces the oldest, which is counted as missing.
#[derive(Clone, Debug, Default)]
pub(crate) struct Log {
    entries: Deque<Entry, ROOM>,
    missing: u32,
}

impl Log {
    pub(crate) fn note(&mut self, at: Instant, what: What) {
        if self.entries.is_full() {
            self.entries.pop_front();
            self.missing = self.missing.saturating_add(1);
        }
        let _ = self.entries.push_back(Entry { at, what }); // there is room now
    }

    pub(crate) fn next(&mut self) -> Option<Entry> {
        let missing = core::mem::take(&mut self.missing);
        if missing > 0
            && let Some(oldest) = self.entries.front()
        {
            return Some(Entry { at: oldest.at, what: What::Missing(missing) });
        }
        self.entries.pop_front()
    }
}

/// The counts of one side that are logged already.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Told {
    tally: Tally,
    out_of_range: u32,
}

impl Told {
    /// Logs every count that passed a power of two.
    pub(crate) fn tell(&mut self, at: Instant, side: Side, tally: &Tally, out_of_range: bool, log: &mut Log) {
        if *tally != self.tally {
            for fault in Fault::ALL {
                let times = tally.of(fault);
                if doubled(self.tally.of(fault), times) {
                    log.note(at, What::Dropped { side, fault, times });
                }
            }
            self.tally = *tally;
        }
        if out_of_range {
            let times = self.out_of_range.saturating_add(1);
            if doubled(self.out_of_range, times) {
                log.note(at, What::OutOfRange { side, times });
            }
            self.out_of_range = times;
        }
    }
}

/// Whether a count reached or passed a power of two.
const fn doubled(before: u32, now: u32) -> bool {
    u32::BITS.saturating_sub(before.leading_zeros()) < u32::BITS.saturating_sub(now.leading_zeros())
}

#[cfg(test)]
mod tests {
    use handback::Instant;

    use super::{Entry, Log, ROOM, What, doubled};

    /// Given a ring that nobody empties, when it is read, then it has the newest entries and says how many are
    /// missing.
    #[test]
    fn a_full_ring_keeps_the_newest_and_counts_the_missing() {
        const MISSING: u32 = 8;
        let mut log = Log::default();
        for at in (0..).take(ROOM + 8) {
            log.note(Instant::from_ticks(at), What::TrainBegins);
        }
        let first = Instant::from_ticks(MISSING);
        assert_eq!(log.next(), Some(Entry { at: first, what: What::Missing(MISSING) }));
        assert_eq!(log.next(), Some(Entry { at: first, what: What::TrainBegins }));
        assert_eq!(core::iter::from_fn(|| log.next()).count(), ROOM - 1);
        assert_eq!(log.next(), None);
    }

    #[test]
    fn a_fault_is_told_at_its_first_second_fourth_eighth_time() {
        assert!((1..=15).filter(|&n: &u32| doubled(n.saturating_sub(1), n)).eq([1, 2, 4, 8]));
        assert!(doubled(3, 9) && !doubled(8, 15) && !doubled(5, 5));
    }
}
