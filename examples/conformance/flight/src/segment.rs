//! Random traces, as segments of equal steps.

use handback::{AxisRule, Deflection, Frame, Policy, Rest};

use crate::aim::{Beside, Sight, Threshold, Timing, put};
use crate::log::Log;
use crate::random::Random;

/// A number of equal steps.
pub(crate) struct Segment {
    pub(crate) steps: u32,
    /// Time before the first step, in microseconds.
    pub(crate) first: u32,
    /// Time before each of the other steps, in microseconds.
    pub(crate) pace: u32,
    pub(crate) switch: bool,
    pub(crate) now: bool,
}

/// What one side does in a segment.
#[derive(Clone, Copy)]
pub(crate) struct Hand {
    /// Whether frames come.
    pub(crate) sends: bool,
    /// One axis is here in this segment, and afterwards where it was.
    out: Option<(usize, Deflection)>,
    /// This axis moves by this much in every step.
    slope: (usize, i16),
}

impl Segment {
    pub(crate) fn draw<const N: usize>(random: &mut Random, policy: &Policy<N>, log: &mut Log<'_>) -> Self {
        Self {
            steps: match random.weighted([3, 2, 2, 1]) {
                0 => 1,
                1 => 1 + random.below(3),
                2 => 1 + random.below(23),
                _ => 10 + random.below(50),
            },
            first: match random.weighted([8, 1, 6, 1]) {
                0 => 10_000,
                1 => 0,
                2 => edge(random, policy, log),
                _ => random.below(300_000),
            },
            pace: match random.weighted([6, 1, 2]) {
                0 => 10_000,
                1 => random.below(3),
                _ => 1_000 + random.below(39_000),
            },
            switch: !random.one_in(20),
            now: random.one_in(50),
        }
    }
}

/// A time on a duration of the policy, or one microsecond beside it.
fn edge<const N: usize>(random: &mut Random, policy: &Policy<N>, log: &mut Log<'_>) -> u32 {
    let (timing, beside) = (random.one_of(Timing::ALL), random.one_of(Beside::ALL));
    let Some(duration) = timing.of(policy) else { return 10_000 };
    log.coverage.timed(timing, beside);
    duration.as_ticks().saturating_add_signed(beside.offset())
}

impl Hand {
    /// Puts the sticks where the segment begins, and chooses what they do in it.
    pub(crate) fn draw<const N: usize>(
        random: &mut Random,
        sight: &Sight<'_, N>,
        log: &mut Log<'_>,
    ) -> (Self, Frame<N>) {
        let mut hand = Self { sends: true, out: None, slope: (0, 0) };
        let mut sticks = *sight.sticks;
        match random.weighted([1, 6, 1, 6]) {
            0 => hand.sends = false,
            1 => {}
            2 => hand.out = Some((any_axis::<N>(random), Deflection::from_bits(random.within(i16::MIN, i16::MAX)))),
            _ => {
                for _ in 0..=random.below(2) {
                    let axis = any_axis::<N>(random);
                    sticks.axes_mut()[axis] = aim(random, sight, axis, log);
                    hand.slope = match random.weighted([4, 1, 1]) {
                        0 => hand.slope,
                        1 => (axis, random.within(-3, 3)),
                        _ => (axis, random.within(-400, 400)),
                    };
                }
            }
        }
        (hand, sticks)
    }

    /// The frame that this side sends, with its sticks here.
    pub(crate) fn frame<const N: usize>(self, sticks: &Frame<N>) -> Option<Frame<N>> {
        let mut frame = *sticks;
        if let Some((axis, out)) = self.out {
            frame.axes_mut()[axis] = out;
        }
        self.sends.then_some(frame)
    }

    /// Moves its sticks on by one step.
    pub(crate) fn slide<const N: usize>(self, sticks: &mut Frame<N>) {
        let (axis, slope) = self.slope;
        let stick = &mut sticks.axes_mut()[axis];
        *stick = put(i32::from(stick.to_bits()) + i32::from(slope));
    }
}

fn any_axis<const N: usize>(random: &mut Random) -> usize {
    random.weighted([1; N])
}

/// Somewhere to put a stick.
fn aim<const N: usize>(random: &mut Random, sight: &Sight<'_, N>, axis: usize, log: &mut Log<'_>) -> Deflection {
    match random.weighted([4, 2, 1, 1, 10]) {
        0 => rest(&sight.policy.axes[axis]).unwrap_or(sight.sticks.axes()[axis]),
        1 => Deflection::from_bits(random.within(-3_000, 3_000)),
        2 => Deflection::from_bits(random.within(-16_384, 16_384)),
        3 => Deflection::from_bits(random.within(i16::MIN, i16::MAX)),
        _ => {
            let (threshold, beside) = (random.one_of(Threshold::ALL), random.one_of(Beside::ALL));
            log.coverage.aimed(threshold, beside);
            sight.aim(threshold, beside, random.one_in(2), axis)
        }
    }
}

/// The fixed rest of an axis.
pub(crate) fn rest(rule: &AxisRule) -> Option<Deflection> {
    match rule.rest {
        Rest::At(rest) => Some(rest),
        Rest::WhereLeft { .. } => None,
    }
}
