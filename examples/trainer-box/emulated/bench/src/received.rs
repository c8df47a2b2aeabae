//! What the box can have received of what was sent.

use std::collections::VecDeque;

use handback::Reception;

use trainer_box_bench::line::Heard;

/// Rounding of half a microsecond each, on the way in and on the way out.
const ROUNDING: f64 = 1.0;
/// How far a stick of a disturbed frame can be off, in microseconds: the trains' `jitter`.
const DOUBT: f64 = 6.0;
/// How long a complete frame can be read, in microseconds.
const FRESH: u64 = 40_000;

/// The good frames that a side's last one may be.
#[derive(Debug, Default)]
pub(crate) struct Recent(VecDeque<(Vec<u64>, bool)>);

impl Recent {
    pub(crate) fn hear(&mut self, now: u64, heard: &[Heard]) {
        for heard in heard.iter().filter(|heard| in_range(&heard.widths)) {
            if heard.certain && now - heard.at < FRESH {
                self.0.clear(); // the box has read this one instead of those before it
            }
            self.0.push_back((heard.widths.clone(), heard.certain));
        }
    }

    /// Whether `of` a frame can have been this, in microseconds.
    pub(crate) fn can_be(&self, is: f64, of: impl Fn(&[u64]) -> f64) -> bool {
        let doubt = |certain: bool| if certain { ROUNDING } else { ROUNDING + DOUBT };
        self.0.iter().any(|(widths, certain)| (of(widths) - is).abs() <= doubt(*certain))
    }
}

/// The frames that the box can read in the next step: each can be received once.
#[derive(Debug, Default)]
pub(crate) struct Unread(Vec<Heard>);

impl Unread {
    /// Judges what the box says that it received in this step.
    pub(crate) fn judge(&mut self, now: u64, heard: &[Heard], is: Reception) -> Result<(), String> {
        let must_be = newest_certain(heard, now).map(|newest| reception(&newest.widths));
        if must_be.is_some_and(|must_be| must_be != is) {
            return Err(format!("received {is:?}, though {must_be:?} was sent undisturbed"));
        }
        let can_be = self.0.iter().chain(heard).any(|frame| reception(&frame.widths) == is);
        if is != Reception::Nothing && !can_be {
            return Err(format!("received {is:?}, though no such frame was sent"));
        }
        // A disturbed frame may be read one step late.
        self.0 = if is == Reception::Nothing { heard.to_vec() } else { Vec::new() };
        Ok(())
    }
}

/// The newest frame, where the box must have read it in this step: a newer frame replaces an older one, and a frame
/// that has waited for too long is not read any more.
fn newest_certain(heard: &[Heard], now: u64) -> Option<&Heard> {
    heard.last().filter(|newest| newest.certain && now - newest.at < FRESH)
}

fn reception(widths: &[u64]) -> Reception {
    if in_range(widths) { Reception::Good } else { Reception::Bad }
}

/// Whether the four sticks are in range (`plausible`): the first four channels of either transmitter.
fn in_range(widths: &[u64]) -> bool {
    widths.iter().take(4).all(|width| (750..=2_250).contains(width))
}

pub(crate) fn us(width: u64) -> f64 {
    u32::try_from(width).map_or(f64::NAN, f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOW: u64 = 1_000_000;

    fn sent(width: u64, certain: bool) -> Vec<Heard> {
        vec![Heard { widths: vec![width; 4], certain, at: NOW }]
    }

    /// Given a frame that was sent undisturbed, when the box says anything but what it was, then that is named.
    #[test]
    fn an_undisturbed_frame_must_be_received() {
        for (width, right) in [(1_500, Reception::Good), (2_300, Reception::Bad)] {
            for is in [Reception::Nothing, Reception::Good, Reception::Bad] {
                assert_eq!(Unread::default().judge(NOW, &sent(width, true), is).is_ok(), is == right);
            }
        }
    }

    /// Given a disturbed frame, when the box receives it at once, one step late or never, then either is right; a
    /// second time, or without any frame, is not.
    #[test]
    fn a_disturbed_frame_may_be_received_once() {
        let mut unread = Unread::default();
        assert!(unread.judge(NOW, &[], Reception::Good).is_err());
        assert!(unread.judge(NOW, &sent(1_500, false), Reception::Nothing).is_ok());
        assert!(unread.judge(NOW, &[], Reception::Good).is_ok());
        assert!(unread.judge(NOW, &[], Reception::Good).is_err());
        assert!(unread.judge(NOW, &sent(1_500, false), Reception::Good).is_ok());
        assert!(unread.judge(NOW, &[], Reception::Good).is_err());
    }

    /// Given an undisturbed frame, when a stick is said to be further off than rounding, then it cannot be that
    /// frame's.
    #[test]
    fn a_stick_is_that_of_a_frame_that_was_sent() {
        let mut recent = Recent::default();
        recent.hear(NOW, &sent(1_600, false));
        assert!(recent.can_be(1_606.5, |widths| us(widths[0])) && !recent.can_be(1_607.5, |widths| us(widths[0])));
        recent.hear(NOW, &sent(1_500, true));
        assert!(recent.can_be(1_500.5, |widths| us(widths[0])) && !recent.can_be(1_600.0, |widths| us(widths[0])));
    }
}
