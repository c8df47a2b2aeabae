//! Tells people, without a computer, why a box does not do what they expect.

use handback::Instant;
use handback::cue::Signs;

use crate::beats::{Beats, Pattern};
use crate::first_fault::{FirstFault, FirstFaultKind};
use crate::recording::passed;
use crate::trainer_box::Side;

/// The next sign begins after this time without one, in microseconds. Own choice.
const AGAIN: u32 = 4_000_000;

/// The signs of faults on lamp and beeper, again and again as long as there is the fault: very long pulses (1.2 s), whose
/// number is the side, then short ones, whose number is the fault.
///
/// ```text
/// stored plan refused     ##############                                one very long pulse alone
/// instructor: no train    ##############     ##                         one, then one
///   wrong level           ##############     ##  ##                     one, then two
///   wrong count           ##############     ##  ##  ##                 one, then three
///   out of range          ##############     ##  ##  ##  ##             one, then four
/// student: no train       ##############  ##############     ##         two, then one
///   wrong level           ##############  ##############     ##  ##     two, then two; and so on
/// ```
///
/// | sign | told apart by |
/// |---|---|
/// | from every cue of the project | the first pulse: 1.2 s, while the longest pulse of a cue is half of that |
/// | instructor's from student's | the number of very long pulses |
/// | the faults of one side | the number of short pulses |
/// | a refused plan from a fault | no short pulse |
/// | from the patterns of the check of the bench | they are played only there, and these never |
///
/// A cue comes first: the sign waits for it, and breaks off where one begins. A sign changes nothing else.
///
/// ```
/// use handback::Instant;
/// use handback::cue::Signs;
/// use trainer_box::Notice;
/// let mut notice = Notice::new(Instant::from_ticks(0), true);
/// let mut sounded = 0;
/// for ms in 1..=9_000 {
///     sounded += u32::from(notice.over(Instant::from_ticks(ms * 1_000), Signs::default(), None).beeper);
/// }
/// assert_eq!(sounded, 1_200); // once in nine seconds, for 1.2 s
/// ```
#[derive(Clone, Debug)]
pub struct Notice {
    beats: Beats,
    last: Instant,
    refused: bool,
    /// Whether the last sign was that of a refused plan, so that a fault is next.
    told_refused: bool,
}

impl Notice {
    /// A notice that begins its first sign after some seconds. `refused` says whether the stored plan was refused.
    pub fn new(now: Instant, refused: bool) -> Self {
        Self { beats: Beats::default(), last: now, refused, told_refused: false }
    }

    /// The signs of a step, with those of a fault over them where no cue is played; `fault` is
    /// [`TrainerBox::first_fault`](crate::TrainerBox::first_fault). Call it in every step, but not while the box checks
    /// the bench, which has patterns of its own.
    pub fn over(&mut self, now: Instant, signs: Signs, fault: Option<FirstFault>) -> Signs {
        let dt = passed(self.last, now);
        self.last = now;
        if signs.lamp || signs.beeper || signs.vibration || signs.begun.is_some() {
            self.beats = Beats::default();
            return signs;
        }
        if !self.beats.is_playing()
            && self.beats.idle() >= AGAIN
            && let Some(pattern) = self.next(fault)
        {
            self.beats.begin(pattern);
        }
        let on = self.beats.pass(dt);
        Signs { lamp: on, beeper: on, vibration: on, ..signs }
    }

    /// A refused plan and a fault take turns.
    fn next(&mut self, fault: Option<FirstFault>) -> Option<Pattern> {
        self.told_refused = self.refused && !(self.told_refused && fault.is_some());
        if self.told_refused { Some(Pattern::after_very_long(1, 0)) } else { fault.map(pattern) }
    }
}

fn pattern(fault: FirstFault) -> Pattern {
    let side = match fault.side {
        Side::Instructor => 1,
        Side::Student => 2,
    };
    let kind = match fault.kind {
        FirstFaultKind::NoTrain => 1,
        FirstFaultKind::WrongLevel => 2,
        FirstFaultKind::WrongCount => 3,
        FirstFaultKind::OutOfRange => 4,
    };
    Pattern::after_very_long(side, kind)
}
