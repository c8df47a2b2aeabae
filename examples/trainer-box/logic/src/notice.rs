//! Tells people that the stored plan was refused, so that the student gets nothing.

use handback::Instant;
use handback::cue::Signs;

use crate::beats::{Beats, Pattern};

/// The pulse comes again after this time without a sign, in microseconds. Own choice.
const AGAIN: u32 = 4_000_000;

/// One very long pulse on lamp and beeper, again and again until the box is powered off: the sign of a box whose stored
/// plan was refused. No cue of the project has one pulse alone, or one as long. A cue comes first: the pulse waits for it,
/// and breaks off where one begins.
///
/// ```
/// use handback::Instant;
/// use handback::cue::Signs;
/// use trainer_box::Notice;
/// let mut notice = Notice::new(Instant::from_ticks(0));
/// let mut sounded = 0;
/// for ms in 1..=9_000 {
///     sounded += u32::from(notice.over(Instant::from_ticks(ms * 1_000), Signs::default()).beeper);
/// }
/// assert_eq!(sounded, 1_200); // once in nine seconds, for 1.2 s
/// ```
#[derive(Clone, Debug)]
pub struct Notice {
    beats: Beats,
    last: Instant,
}

impl Notice {
    /// A notice that begins its first pulse after some seconds.
    pub fn new(now: Instant) -> Self {
        Self { beats: Beats::default(), last: now }
    }

    /// The signs of a step, with the pulse over them where no cue is played. Call it in every step, but not while the
    /// box checks the bench, which has patterns of its own.
    pub fn over(&mut self, now: Instant, signs: Signs) -> Signs {
        let dt = now.as_ticks().wrapping_sub(self.last.as_ticks());
        self.last = now;
        if signs.lamp || signs.beeper || signs.vibration || signs.begun.is_some() {
            self.beats = Beats::default();
            return signs;
        }
        if !self.beats.is_playing() && self.beats.idle >= AGAIN {
            self.beats.begin(Pattern::fault(None));
        }
        let on = self.beats.pass(dt);
        Signs { lamp: on, beeper: on, vibration: on, ..signs }
    }
}
