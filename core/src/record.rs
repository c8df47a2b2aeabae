//! The record of a lesson, kept on the device: running totals and the last events, readable in flight.
//!
//! It shows a badly set threshold that keeps the craft from the student: a short
//! [`student_time`](Totals::student_time), many takeovers by one axis, or an axis held nearly all the time though
//! nobody touches it.

use heapless::Deque;

use crate::engine::{Cause, Event, Link, Outcome, Reception};
use crate::quantity::{AxisSet, Duration, Instant};

/// A sum of time in microseconds, beyond the range of the 32-bit clock.
pub type TotalTime = fugit::MicrosDurationU64;

/// Totals of a lesson with `N` axes, and its last `R` events. An `R` of 0 does not compile.
///
/// ```
/// use handback::{AxisRule, Engine, Frame, Inputs, Instant, Policy, Record};
/// let policy = Policy::new([AxisRule::sprung(); 4]).check()?;
/// let mut engine = Engine::new(&policy);
/// let mut record = Record::<4, 16>::new();
/// for n in 0..100 {
///     let frame = Some(&Frame::CENTRE);
///     let inputs = Inputs { instructor: frame, student: frame, lesson_switch: n > 5, instructor_now: false };
///     record.note(&engine.step(Instant::from_ticks(n * 20_000), inputs));
/// }
/// assert_eq!(record.totals().student_time.as_ticks(), 680_000); // the link qualifies for 1 s, the dwell takes 300 ms
/// assert_eq!(record.events().count(), 1);
/// # Ok::<(), handback::PolicyError>(())
/// ```
#[derive(Clone, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Record<const N: usize, const R: usize> {
    totals: Totals<N>,
    events: Deque<Event, R>,
    last: Option<Last>,
    /// Time since a takeover; `None` once the student gained an axis again.
    taken_for: Option<TotalTime>,
}

/// Running totals of a lesson.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Totals<const N: usize> {
    /// Time from the first step to the last, late steps left out.
    pub lesson_time: TotalTime,
    /// Time in which the student flew at least one axis.
    pub student_time: TotalTime,
    /// How often the student lost an axis, for any cause.
    pub takeovers: u32,
    /// The longest time from a takeover until the student gained an axis again.
    pub longest_takeover: Option<TotalTime>,
    /// The shortest such time. If it is not longer than about the dwell, nobody meant that takeover.
    pub shortest_takeover: Option<TotalTime>,
    /// Takeovers by a stick, counted for the lowest axis that became held.
    #[cfg_attr(feature = "serde", serde(with = "crate::quantity::array"))]
    pub by_axis: [u32; N],
    /// How long each axis was held.
    #[cfg_attr(feature = "serde", serde(with = "crate::quantity::array"))]
    pub held_time: [TotalTime; N],
    /// What came from the instructor.
    pub instructor: FrameCount,
    /// What came from the student.
    pub student: FrameCount,
    by_cause: [u32; Cause::KINDS],
}

/// What came from one side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct FrameCount {
    /// Good frames.
    pub good: u32,
    /// Bad frames.
    pub bad: u32,
    /// Steps without a frame. In a box that steps once for every frame it expects, these are the lost frames.
    pub missing: u32,
    /// How often a good signal was lost. A loss that ends in its own step (I1; L3 with `requalify` 0) shows in no
    /// outcome, and is not counted.
    pub losses: u32,
}

#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
struct Last {
    at: Instant,
    student: AxisSet,
    held: AxisSet,
    instructor_lost: bool,
    link: Link,
}

impl<const N: usize, const R: usize> Record<N, R> {
    /// An empty record.
    pub const fn new() -> Self {
        Self {
            totals: Totals {
                lesson_time: TotalTime::from_ticks(0),
                student_time: TotalTime::from_ticks(0),
                takeovers: 0,
                longest_takeover: None,
                shortest_takeover: None,
                by_axis: [0; N],
                held_time: [TotalTime::from_ticks(0); N],
                instructor: FrameCount { good: 0, bad: 0, missing: 0, losses: 0 },
                student: FrameCount { good: 0, bad: 0, missing: 0, losses: 0 },
                by_cause: [0; Cause::KINDS],
            },
            events: Deque::new(),
            last: None,
            taken_for: None,
        }
    }

    /// The totals so far.
    pub const fn totals(&self) -> &Totals<N> {
        &self.totals
    }

    /// The last `R` events, the oldest first.
    pub fn events(&self) -> impl Iterator<Item = &Event> {
        self.events.iter()
    }

    /// Adds the outcome of a step. Call it once for every step, in order.
    pub fn note(&mut self, outcome: &Outcome<N>) {
        let now = Last {
            at: outcome.at,
            student: outcome.pilot.student(),
            held: outcome.held,
            instructor_lost: outcome.instructor_lost,
            link: outcome.link,
        };
        // A side that never was good has not been lost.
        let last = self.last.replace(now).unwrap_or(now);
        // The true length of a late step is not known, least of all where the clock ran backwards (K1).
        if !outcome.late_step {
            let ticks = now.at.as_ticks().wrapping_sub(last.at.as_ticks());
            self.pass(last, Duration::from_ticks(ticks));
        }

        self.totals.instructor.note(outcome.instructor, !last.instructor_lost && now.instructor_lost);
        self.totals.student.note(outcome.student, last.link == Link::Good && now.link != Link::Good);
        if let Some(event) = outcome.event {
            self.note_event(event);
        }
    }

    /// Adds `dt` to the totals, in the state that the step before left.
    fn pass(&mut self, last: Last, dt: Duration) {
        let totals = &mut self.totals;
        lengthen(&mut totals.lesson_time, dt);
        if !last.student.is_empty() {
            lengthen(&mut totals.student_time, dt);
        }
        for (axis, held_time) in (0..).zip(&mut totals.held_time) {
            if last.held.contains(axis) {
                lengthen(held_time, dt);
            }
        }
        if let Some(taken_for) = &mut self.taken_for {
            lengthen(taken_for, dt);
        }
    }

    fn note_event(&mut self, event: Event) {
        if self.events.is_full() {
            self.events.pop_front();
        }
        // There is room now.
        let _ = self.events.push_back(event);

        let (before, after) = (event.from.student(), event.to.student());
        let totals = &mut self.totals;
        if !before.is_subset_of(after) {
            self.taken_for.get_or_insert(TotalTime::from_ticks(0));
            totals.takeovers = totals.takeovers.saturating_add(1);
            if let Some(count) = totals.by_cause.get_mut(event.cause.kind()) {
                *count = count.saturating_add(1);
            }
            if let Cause::Stick(axis) = event.cause
                && let Some(count) = totals.by_axis.get_mut(usize::from(axis))
            {
                *count = count.saturating_add(1);
            }
        }
        if !after.is_subset_of(before)
            && let Some(taken_for) = self.taken_for.take()
        {
            totals.longest_takeover = Some(totals.longest_takeover.map_or(taken_for, |t| t.max(taken_for)));
            totals.shortest_takeover = Some(totals.shortest_takeover.map_or(taken_for, |t| t.min(taken_for)));
        }
    }
}

impl<const N: usize, const R: usize> Default for Record<N, R> {
    fn default() -> Self {
        Self::new()
    }
}

#[cfg(feature = "defmt")]
impl<const N: usize, const R: usize> defmt::Format for Record<N, R> {
    fn format(&self, f: defmt::Formatter<'_>) {
        defmt::write!(f, "{}", self.totals);
        for event in &self.events {
            defmt::write!(f, "; {}", event);
        }
    }
}

impl<const N: usize> Totals<N> {
    /// Takeovers by this cause; for [`Cause::Stick`] those of all axes.
    ///
    /// ```
    /// let record = handback::Record::<4, 8>::new();
    /// assert_eq!(record.totals().takeovers_by(handback::Cause::SwitchOff), 0);
    /// ```
    pub fn takeovers_by(&self, cause: Cause) -> u32 {
        self.by_cause.get(cause.kind()).copied().unwrap_or(0)
    }
}

impl FrameCount {
    fn note(&mut self, reception: Reception, lost: bool) {
        let count = match reception {
            Reception::Good => &mut self.good,
            Reception::Bad => &mut self.bad,
            Reception::Nothing => &mut self.missing,
        };
        *count = count.saturating_add(1);
        self.losses = self.losses.saturating_add(u32::from(lost));
    }
}

fn lengthen(total: &mut TotalTime, dt: Duration) {
    *total = TotalTime::from_ticks(total.as_ticks().saturating_add(u64::from(dt.as_ticks())));
}
