//! Keeps the rows around one takeover: from one second before it to one second after the hand back. They show an
//! instructor the effects of the thresholds, the dwell and the fade.

use std::collections::VecDeque;

use handback::{Cause, Frame, Pilot, Reception, Waiting};

use super::seen::Seen;

/// Number of rows kept; a story with more rows is not shown.
const ROWS: usize = 8192;
/// Time shown before the takeover and after the hand back, in microseconds.
const MARGIN_US: u64 = 1_000_000;
/// The longest whole story, with its hand back, that a close-up shows; in microseconds.
const STORY_US: u64 = 10_000_000;
/// Time shown on either side of a takeover without a hand back, in microseconds.
const EITHER_SIDE_US: u64 = 2_000_000;

/// The smallest difference between the two sticks at which a change of pilot is visible, in 2^-14ths: 4 points.
const SEEN: u16 = 655;
/// The largest plainness: twice that difference both at the takeover and at the hand back. It ends the search.
const PLAIN: u16 = 4;

/// Why the last takeover by a stick is not shown.
const NOT_MEANT: &str = "the last takeover by a stick was not meant";
const NOT_THE_STUDENTS: &str = "the last takeover by a stick was by an axis that the student did not have";
const TOO_MANY_ROWS: &str = "the last takeover by a stick has more rows around it than the 8192 that are kept";
const NO_STICK: &str = "no stick took the craft from the student";

/// One row of the close-up.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Shot<const N: usize> {
    /// Microseconds since the lesson began.
    pub(crate) time_us: u64,
    /// The instructor's good frame, if one came.
    pub(crate) instructor: Option<Frame<N>>,
    /// The student's good frame, if one came.
    pub(crate) student: Option<Frame<N>>,
    /// The output.
    pub(crate) output: Frame<N>,
    /// The pilot.
    pub(crate) pilot: Pilot,
    /// What the student waited for.
    pub(crate) waiting: Option<Waiting>,
}

/// The rows around one takeover by a stick.
#[derive(Clone, Debug)]
pub(crate) struct Cut<const N: usize> {
    /// The rows, in order.
    pub(crate) shots: Vec<Shot<N>>,
    /// The axis whose stick took the craft.
    pub(crate) axis: u8,
    /// The rest of its stick, in 2^-14ths.
    pub(crate) rest_bits: i16,
    /// The time of the takeover, in microseconds.
    pub(crate) taken_us: u64,
    /// The time at which the student got it back, if within the cut.
    pub(crate) handed_us: Option<u64>,
    /// The instructor's reason; empty where it is not known.
    pub(crate) reason: &'static str,
}

/// A takeover whose story is not over.
#[derive(Clone, Copy, Debug)]
struct Story {
    axis: u8,
    rest_bits: i16,
    taken_us: u64,
    handed_us: Option<u64>,
    reason: &'static str,
}

/// The search for the takeover to show: the plainest whole story, otherwise the first part of one.
#[derive(Clone, Debug)]
pub(crate) struct CloseUp<const N: usize> {
    ring: VecDeque<Shot<N>>,
    story: Option<Story>,
    /// The plainness, 0 to [`PLAIN`], and the rows of the plainest whole story so far; the first one where several are
    /// equal.
    whole: Option<(u16, Cut<N>)>,
    part: Option<Cut<N>>,
    /// Why the last takeover by a stick could not be shown; `None` where there was none.
    passed_over: Option<&'static str>,
}

impl<const N: usize> Default for CloseUp<N> {
    fn default() -> Self {
        Self { ring: VecDeque::with_capacity(ROWS), story: None, whole: None, part: None, passed_over: None }
    }
}

impl<const N: usize> CloseUp<N> {
    pub(super) fn observe(&mut self, seen: &Seen<'_, N>, rests: &[Option<handback::Deflection>; N]) {
        if self.whole.as_ref().is_some_and(|(plain, _)| *plain >= PLAIN) {
            return;
        }
        if self.ring.len() == ROWS {
            self.ring.pop_front();
        }
        self.ring.push_back(Shot::of(seen));
        self.follow(seen);
        if self.story.is_none() {
            self.begin(seen, rests);
        }
    }

    fn begin(&mut self, seen: &Seen<'_, N>, rests: &[Option<handback::Deflection>; N]) {
        let Some(Cause::Stick(axis)) = seen.outcome.event.map(|event| event.cause) else { return };
        // A takeover that was not meant, or whose own axis the student did not have, explains nothing.
        let meant = seen.truth.is_none_or(|truth| truth.meant);
        let rest = rests.get(usize::from(axis)).copied().flatten().filter(|_| seen.lost().contains(axis));
        match rest {
            _ if !meant => self.passed_over = Some(NOT_MEANT),
            None => self.passed_over = Some(NOT_THE_STUDENTS),
            Some(rest) => {
                self.story = Some(Story {
                    axis,
                    rest_bits: rest.to_bits(),
                    taken_us: seen.time_us(),
                    handed_us: None,
                    reason: seen.truth.map_or("", |truth| truth.reason),
                });
            }
        }
    }

    fn follow(&mut self, seen: &Seen<'_, N>) {
        let Some(story) = &mut self.story else { return };
        let now = seen.time_us();
        let since_taken = now.saturating_sub(story.taken_us);
        if story.handed_us.is_none() && seen.gained().contains(story.axis) {
            story.handed_us = Some(now);
        }
        let story = *story;
        if self.part.is_none() && since_taken >= EITHER_SIDE_US {
            self.show_part(story, EITHER_SIDE_US, now);
        }
        match story.handed_us {
            // The student lost the axis again: the part until then is shown.
            Some(_) if seen.lost().contains(story.axis) => {
                if self.part.as_ref().is_none_or(|part| part.taken_us == story.taken_us) {
                    self.show_part(story, MARGIN_US, now.saturating_sub(1));
                }
                self.story = None;
            }
            Some(handed) if now.saturating_sub(handed) >= MARGIN_US => {
                let cut = cut(&self.ring, story, MARGIN_US, now);
                if cut.is_none() {
                    self.passed_over = Some(TOO_MANY_ROWS);
                }
                if let Some(cut) = cut {
                    let plain = cut.plainness();
                    if self.whole.as_ref().is_none_or(|(best, _)| plain > *best) {
                        self.whole = Some((plain, cut));
                    }
                }
                self.story = None;
            }
            _ if since_taken > STORY_US => self.story = None,
            _ => {}
        }
    }

    fn show_part(&mut self, story: Story, before_us: u64, until_us: u64) {
        self.part = cut(&self.ring, story, before_us, until_us);
        if self.part.is_none() {
            self.passed_over = Some(TOO_MANY_ROWS);
        }
    }

    #[cfg(test)]
    pub(super) fn capacity(&self) -> usize {
        let cuts = [self.whole.as_ref().map(|(_, cut)| cut), self.part.as_ref()];
        self.ring.capacity() + cuts.into_iter().flatten().map(|cut| cut.shots.capacity()).sum::<usize>()
    }

    /// The rows to show, or why there are none.
    pub(crate) fn cut(&self) -> Result<Cut<N>, &'static str> {
        let last = self.ring.back().map_or(0, |shot| shot.time_us);
        let whole = self.whole.as_ref().map(|(_, cut)| cut.clone());
        // The recording ended soon after a hand back: that story has more to show than a part.
        let ended = self.story.filter(|story| story.handed_us.is_some());
        let ended = || ended.and_then(|story| cut(&self.ring, story, MARGIN_US, last));
        if let Some(cut) = whole.or_else(ended).or_else(|| self.part.clone()) {
            return Ok(cut);
        }
        match self.story {
            Some(story) => cut(&self.ring, story, EITHER_SIDE_US, last).ok_or(TOO_MANY_ROWS),
            None => Err(self.passed_over.unwrap_or(NO_STICK)),
        }
    }
}

impl<const N: usize> Cut<N> {
    /// How visible the takeover and the hand back are, 0 to [`PLAIN`]: it grows with the difference between the two
    /// sticks at both.
    fn plainness(&self) -> u16 {
        let apart_at = |at_us: u64| {
            let at = self.shots.partition_point(|shot| shot.time_us < at_us);
            let shot = self.shots.get(at)?;
            let sticks = [shot.instructor?, shot.student?].map(|frame| frame.get(self.axis));
            Some(sticks[0]?.to_bits().abs_diff(sticks[1]?.to_bits()))
        };
        let moments = [Some(self.taken_us), self.handed_us];
        moments.into_iter().flatten().filter_map(apart_at).map(|apart| (apart / SEEN).min(PLAIN / 2)).sum()
    }
}

/// The rows from `before_us` before the takeover to `until_us`; `None` where some of them are no longer kept.
fn cut<const N: usize>(ring: &VecDeque<Shot<N>>, story: Story, before_us: u64, until_us: u64) -> Option<Cut<N>> {
    let from = story.taken_us.saturating_sub(before_us);
    let wanted = from..=until_us;
    let forgotten = ring.len() == ROWS && ring.front().is_some_and(|shot| shot.time_us > from);
    if forgotten {
        return None;
    }
    Some(Cut {
        shots: ring.iter().filter(|shot| wanted.contains(&shot.time_us)).copied().collect(),
        axis: story.axis,
        rest_bits: story.rest_bits,
        taken_us: story.taken_us,
        handed_us: story.handed_us,
        reason: story.reason,
    })
}

impl<const N: usize> Shot<N> {
    fn of(seen: &Seen<'_, N>) -> Self {
        let outcome = seen.outcome;
        Self {
            time_us: seen.time_us(),
            instructor: seen.row.instructor.filter(|_| outcome.instructor == Reception::Good),
            student: seen.row.student.filter(|_| outcome.student == Reception::Good),
            output: outcome.output,
            pilot: outcome.pilot,
            waiting: outcome.waiting,
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::tally::sample::Lesson;
    use handback::Cause;

    /// Given a takeover and a handback that are easy to see, when a later one comes, then the first is kept, with a
    /// second before and after it.
    #[test]
    fn a_plain_story_is_shown_with_a_second_on_either_side() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 4980).take_over_at(5000, Cause::Stick(1)).fly(5020, 6980);
        lesson.hand_back_at(7000).fly(7020, 9000).take_over_at(9020, Cause::Stick(0)).fly(9040, 12_000);
        let cut = lesson.tally.close_up.cut().unwrap();
        assert_eq!((cut.axis, cut.taken_us, cut.handed_us), (1, 5_000_000, Some(7_000_000)));
        assert_eq!(cut.shots.first().unwrap().time_us, 4_000_000);
        assert_eq!(cut.shots.last().unwrap().time_us, 8_000_000);
    }

    #[test]
    fn a_story_in_which_little_is_seen_gives_way_to_a_plainer_one() {
        let mut lesson = Lesson::new();
        // Given a first takeover while both elevators are level, and a second while they are 24 points apart
        lesson.stick(1, 20).hand_back_at(0).fly(20, 4980).take_over_at(5000, Cause::Stick(1)).fly(5020, 6980);
        lesson.hand_back_at(7000).fly(7020, 14_980).stick(1, -4).take_over_at(15_000, Cause::Stick(1));
        lesson.fly(15_020, 16_980).hand_back_at(17_000).fly(17_020, 19_000);
        assert_eq!(lesson.tally.close_up.cut().unwrap().taken_us, 15_000_000);
    }

    #[test]
    fn a_takeover_that_was_not_meant_is_passed_over() {
        let mut lesson = Lesson::new();
        lesson.meant = Some(false);
        lesson.hand_back_at(0).fly(20, 1000).take_over_at(1020, Cause::Stick(0)).fly(1040, 1400);
        lesson.hand_back_at(1420).fly(1440, 3000);
        assert_eq!(lesson.tally.close_up.cut().map(|cut| cut.axis), Err(super::NOT_MEANT));
    }

    #[test]
    fn a_hand_back_that_is_soon_lost_again_is_shown_as_far_as_that() {
        // Given a takeover of 700 ms, and 400 ms after it another by the button
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 4980).take_over_at(5000, Cause::Stick(1)).fly(5020, 5680);
        lesson.hand_back_at(5700).fly(5720, 6080).take_over_at(6100, Cause::InstructorNow).fly(6120, 20_000);
        let cut = lesson.tally.close_up.cut().unwrap();
        assert_eq!((cut.taken_us, cut.handed_us), (5_000_000, Some(5_700_000)));
        assert_eq!(cut.shots.first().unwrap().time_us, 4_000_000);
        assert_eq!(cut.shots.last().unwrap().time_us, 6_080_000);
    }

    /// Given a takeover of 2.2 s, when the recording ends 600 ms after the hand back, then the hand back is shown.
    #[test]
    fn a_hand_back_shortly_before_the_end_is_shown() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 4980).take_over_at(5000, Cause::Stick(1)).fly(5020, 7180);
        lesson.hand_back_at(7200).fly(7220, 7800);
        let cut = lesson.tally.close_up.cut().unwrap();
        assert_eq!((cut.taken_us, cut.handed_us), (5_000_000, Some(7_200_000)));
        assert_eq!(cut.shots.last().unwrap().time_us, 7_800_000);
        // Given the same, when another takeover follows soon, then it is shown up to that.
        lesson.take_over_at(7820, Cause::InstructorNow).fly(7840, 20_000);
        let cut = lesson.tally.close_up.cut().unwrap();
        assert_eq!((cut.handed_us, cut.shots.last().unwrap().time_us), (Some(7_200_000), 7_800_000));
    }

    #[test]
    fn without_a_takeover_that_can_be_shown_it_says_why() {
        let why = |lesson: &Lesson| lesson.tally.close_up.cut().unwrap_err();
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 4980).take_over_at(5000, Cause::SwitchOff).fly(5020, 6000);
        assert_eq!(why(&lesson), super::NO_STICK);
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 4980);
        lesson.change(5000, handback::Pilot::Student(handback::AxisSet::of(&[1])), Cause::Stick(1));
        assert_eq!(why(&lesson), super::NOT_THE_STUDENTS);
        // Given rows so close together that 8192 of them cover less than the second before the takeover
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0);
        for ms in 1..1000 {
            for _ in 0..10 {
                lesson.fly(ms, ms);
            }
        }
        lesson.take_over_at(1000, Cause::Stick(0)).fly(1020, 9000);
        assert_eq!(why(&lesson), super::TOO_MANY_ROWS);
    }

    #[test]
    fn a_takeover_without_an_end_is_shown_as_far_as_it_goes() {
        let mut lesson = Lesson::new();
        lesson.hand_back_at(0).fly(20, 4980).take_over_at(5000, Cause::Stick(1)).fly(5020, 30_000);
        let cut = lesson.tally.close_up.cut().unwrap();
        assert_eq!(cut.handed_us, None);
        assert_eq!(cut.shots.first().unwrap().time_us, 3_000_000);
        assert_eq!(cut.shots.last().unwrap().time_us, 7_000_000);
    }
}
