//! Who may fly, from what was sent and pressed alone: the contract's rules about the student, without the engine.
//!
//! The witness knows what the transmitters meant, what arrived, and when switch and button were seen in which position.
//! Of a frame that was disturbed it cannot know whether the box could read it; then it gives the box the benefit of the
//! doubt. So it never wrongs a sound box, and three untouched frames in a row are enough for it to be strict again.

use handback::{AxisSet, Pilot};
use trainer_box_rig::plan::{AS_WRITTEN, THROTTLE};
use trainer_box_rig::{Hand, Stepped};

use crate::line::Heard;
use crate::people::CENTRE;

/// In microseconds of pulse width: 2 points, the way to a takeover; 1 point; 8 points; half a microsecond is rounding.
const ENGAGE: u64 = 10;
const RELEASE: u64 = 5;
const THROTTLE_ENGAGE: u64 = 40;
/// How far a disturbed frame can be off: the trains' `jitter`.
pub(crate) const DOUBT: u64 = 6;

/// The sprung axes; their channels have the same numbers at the instructor's.
pub(crate) const SPRUNG: [u8; 3] = [0, 1, 3];

/// A time that has not been.
type Never = Option<u64>;

#[derive(Debug)]
pub(crate) struct Witness {
    started: u64,
    last_step: Never,
    off_since: Never,
    on_since: Never,
    /// The last step in which the switch had been off for long enough to be seen off first.
    armed_at: Never,
    /// The switch must have been off after this.
    arm_after: u64,
    latched: bool,
    instructor: Signal,
    student: Signal,
    /// The first frame that can have come since the link was lost.
    link_since: Never,
    /// The student has flown since the link was lost, so that it was good.
    link_was_good: bool,
    held: AxisSet,
    /// Where the instructor's throttle was when the student got it, if that is certain.
    throttle_rest: Never,
    throttle: Never,
    last_objection: u64,
    student_had: AxisSet,
    nobody_flew: bool,
    steps: u32,
}

/// When good frames came.
#[derive(Debug, Default)]
struct Signal {
    /// The last that can have come, and the last that must have.
    possible: Never,
    certain: Never,
}

/// What a step is judged by.
#[derive(Debug)]
pub(crate) struct Evidence<'a> {
    pub(crate) now: u64,
    pub(crate) hand: Hand,
    pub(crate) instructor: &'a [Heard],
    pub(crate) student: &'a [Heard],
}

impl Witness {
    /// A box that has just started (S1, S2): nothing from before counts.
    pub(crate) fn new(started: u64) -> Self {
        Self {
            started,
            last_step: None,
            off_since: None,
            on_since: None,
            armed_at: None,
            arm_after: started,
            latched: false,
            instructor: Signal::default(),
            student: Signal::default(),
            link_since: None,
            link_was_good: false,
            held: AxisSet::EMPTY,
            throttle_rest: None,
            throttle: None,
            last_objection: started,
            student_had: AxisSet::EMPTY,
            nobody_flew: true,
            steps: 0,
        }
    }

    /// Judges a step; the first rule that was broken, in words.
    pub(crate) fn judge(&mut self, evidence: &Evidence<'_>, step: &Stepped) -> Result<(), String> {
        let now = evidence.now;
        self.steps += 1;
        let mut objections = Vec::new();
        self.clock(now, &mut objections);
        self.signals(evidence, &mut objections);
        self.sticks(evidence, &mut objections);
        self.switch(now, evidence.hand, &mut objections);
        let outcome = &step.said.outcome;
        let has = outcome.pilot.student();
        let nobody = outcome.pilot == Pilot::Nobody;
        if let Some(why) = objections.first()
            && !has.is_empty()
        {
            return Err(format!("the student flies {has:?}, but {why}"));
        }
        if !has.is_subset_of(AS_WRITTEN.policy.shared) {
            return Err(format!("the student flies {has:?}, which is more than is shared"));
        }
        self.growth(evidence, has)?;
        self.nobody(now, nobody, step.said.pulses.is_some())?;
        if outcome.event.is_some() != (has != self.student_had || nobody != self.nobody_flew) && self.steps > 1 {
            let first_frame = self.nobody_flew && !nobody && outcome.event.is_none();
            if !first_frame || self.student_had != has {
                return Err("an event for every change and no event without one (A1)".into());
            }
        }
        if step.said.signs.student_flies == has.is_empty() {
            return Err("the lamp that says who flies is wrong".into());
        }
        if !objections.is_empty() {
            self.last_objection = now;
        }
        self.link_was_good |= !has.is_empty();
        (self.student_had, self.nobody_flew, self.last_step) = (has, nobody, Some(now));
        Ok(())
    }

    /// K1.
    fn clock(&mut self, now: u64, objections: &mut Vec<&'static str>) {
        let late_step = u64::from(AS_WRITTEN.policy.late_step.as_ticks());
        if self.last_step.is_some_and(|last| now - last > late_step) {
            objections.push("a step was late (K1)");
            self.arm_after = now;
            self.off_since = None;
            (self.instructor, self.student) = (Signal::default(), Signal::default());
            (self.link_since, self.link_was_good) = (None, false);
        }
    }

    /// L1 to L3, I1: a signal is lost where not even a disturbed frame can have come.
    fn signals(&mut self, evidence: &Evidence<'_>, objections: &mut Vec<&'static str>) {
        let timeout = u64::from(AS_WRITTEN.policy.timeout.as_ticks());
        let now = evidence.now;
        if self.instructor.is_lost(now, timeout) {
            objections.push("the instructor's signal is lost (I1)");
            // The box lost it when the last certain frame was too old, or later.
            self.arm_after = self.arm_after.max(self.instructor.certain.map_or(self.started, |last| last + timeout));
        }
        if self.student.is_lost(now, timeout) {
            objections.push("the student's link is lost (L1)");
            if self.link_was_good {
                self.arm_after = self.arm_after.max(self.student.certain.map_or(self.started, |last| last + timeout));
            }
            (self.link_since, self.link_was_good) = (None, false);
        }
        self.instructor.hear(now, evidence.instructor, in_range);
        self.student.hear(now, evidence.student, in_range);
        if self.student.possible == Some(now) && self.link_since.is_none() {
            self.link_since = Some(now);
        }
        if newest_certain(evidence.instructor, now).is_some_and(|heard| !in_range(&heard.widths)) {
            objections.push("a bad instructor's frame came (T4)");
        }
        let requalify = u64::from(AS_WRITTEN.policy.requalify.as_ticks());
        if self.link_since.is_none_or(|since| now - since < requalify) {
            objections.push("the student's link has not gone on for long enough (L2)");
        }
    }

    /// T1 to T3.
    fn sticks(&mut self, evidence: &Evidence<'_>, objections: &mut Vec<&'static str>) {
        let certain = newest_certain(evidence.instructor, evidence.now).filter(|heard| in_range(&heard.widths));
        for axis in SPRUNG {
            let off = |heard: &Heard| heard.widths[usize::from(axis)].abs_diff(CENTRE.unsigned_abs());
            if certain.is_some_and(|heard| off(heard) > ENGAGE) {
                self.held = self.held.with(axis);
            }
            let doubtful = |heard: &Heard| !heard.certain && off(heard) <= RELEASE + DOUBT;
            let let_go = certain.is_some_and(|heard| off(heard) <= RELEASE);
            if let_go || evidence.instructor.iter().any(doubtful) {
                self.held = self.held.without(axis);
            }
        }
        if !self.held.is_empty() {
            objections.push("the instructor holds a stick (T2, T3)");
        }
        if !evidence.instructor.is_empty() {
            self.throttle = certain.map(|heard| heard.widths[usize::from(THROTTLE)]);
        }
        if let (Some(at), Some(rest), Some(_)) = (self.throttle, self.throttle_rest, certain)
            && at.abs_diff(rest) > THROTTLE_ENGAGE
        {
            objections.push("the instructor moves the throttle (T2)");
        }
    }

    /// S2, S3, T7 and the latch (H2).
    fn switch(&mut self, now: u64, hand: Hand, objections: &mut Vec<&'static str>) {
        let settle = u64::from(AS_WRITTEN.policy.settle.as_ticks());
        if hand.lesson_switch && !hand.switch_fails {
            self.off_since = None;
            let since = *self.on_since.get_or_insert(now);
            if now - since < settle {
                objections.push("the lesson switch has not settled (S3)");
            }
        } else {
            self.on_since = None;
            objections.push("the lesson switch is off (S3)");
            if now - *self.off_since.get_or_insert(now) >= settle {
                self.armed_at = Some(now);
                self.latched = false;
            }
        }
        if hand.instructor_now || hand.button_fails {
            objections.push("the instructor presses the button (T7)");
            // Clearing wins over setting (H2).
            self.latched |= self.armed_at != Some(now);
        }
        if self.latched {
            objections.push("the button latched, and the switch has not been off since (H2)");
        }
        if self.armed_at.is_none_or(|off_first| off_first < self.arm_after) {
            objections.push("the lesson switch has not been seen off since the start or a loss (S2)");
        }
    }

    /// H1: the set grows late enough, and in a step with an instructor's frame.
    fn growth(&mut self, evidence: &Evidence<'_>, has: AxisSet) -> Result<(), String> {
        if has.is_subset_of(self.student_had) {
            if has.is_empty() {
                self.throttle_rest = None;
            }
            return Ok(());
        }
        let waited = evidence.now - self.last_objection;
        let dwell = AS_WRITTEN.policy.dwell.as_ticks();
        if waited < u64::from(dwell) {
            return Err(format!("handed back after {waited} us of the {dwell} us of the dwell (H1)"));
        }
        if evidence.instructor.is_empty() {
            return Err("handed back in a step without an instructor's frame (H1)".into());
        }
        self.throttle_rest = self.throttle;
        Ok(())
    }

    /// I2, and that the instructor has the craft where the signal is there.
    fn nobody(&self, now: u64, nobody: bool, pulses: bool) -> Result<(), String> {
        let failsafe_after = u64::from(AS_WRITTEN.policy.failsafe_after.as_ticks());
        if self.instructor.is_lost(now, failsafe_after) && !nobody {
            return Err("somebody flies, but the instructor's signal is long gone (I2)".into());
        }
        if nobody && pulses {
            return Err("nobody flies, but the craft is sent pulses (I2)".into());
        }
        if nobody && self.instructor.certain.is_some_and(|last| now - last <= failsafe_after) {
            return Err("nobody flies, but the instructor's signal is there (I1)".into());
        }
        Ok(())
    }
}

impl Signal {
    /// Not even a disturbed frame came in time.
    fn is_lost(&self, now: u64, after: u64) -> bool {
        self.possible.is_none_or(|last| now - last > after)
    }

    fn hear(&mut self, now: u64, heard: &[Heard], good: impl Fn(&[u64]) -> bool) {
        if heard.iter().any(|heard| good(&heard.widths)) {
            self.possible = Some(now);
        }
        if newest_certain(heard, now).is_some_and(|heard| good(&heard.widths)) {
            self.certain = Some(now);
        }
    }
}

/// The newest frame, where the box must have read it in this step: an older one gave way to it, and one that has lain
/// about for too long is not read any more.
fn newest_certain(heard: &[Heard], now: u64) -> Option<&Heard> {
    heard.last().filter(|newest| newest.certain && now - newest.at < 40_000)
}

/// Whether the four sticks are within what is taken for sticks; the student's are the first four channels, too.
pub(crate) fn in_range(widths: &[u64]) -> bool {
    widths.iter().take(4).all(|width| (750..=2_250).contains(width))
}
