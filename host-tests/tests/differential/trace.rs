//! Random traces of a few segments, each of equal steps: a failure shrinks to a line or two.

use proptest::collection::vec;
use proptest::option::weighted;
use proptest::prelude::*;

/// A lesson to fly.
#[derive(Clone, Debug)]
pub(crate) struct Trace {
    /// The clock in the first step.
    pub(crate) start: u32,
    pub(crate) segments: Vec<Segment>,
}

/// Some equal steps.
#[derive(Clone, Debug)]
pub(crate) struct Segment {
    /// Begins with everything that hands the craft over: switch off, then on, both signals, sticks where they are or
    /// at rest.
    pub(crate) hand_over: Option<Sticks>,
    pub(crate) steps: u8,
    /// Time before the first of them.
    pub(crate) gap: Gap,
    /// Time before each of the others, in microseconds.
    pub(crate) pace: u32,
    pub(crate) instructor: Hand,
    pub(crate) student: Hand,
    pub(crate) switch: bool,
    pub(crate) now: bool,
}

/// The instructor's sticks while the craft is handed over.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Sticks {
    AtRest,
    AsTheyAre,
}

/// The time before a segment.
#[derive(Clone, Debug)]
pub(crate) enum Gap {
    Us(u32),
    /// One of the policy's durations, and this many microseconds more.
    Edge(u8, i8),
}

/// What one side does in a segment.
#[derive(Clone, Debug)]
pub(crate) enum Hand {
    /// No frame comes.
    Silent,
    /// Frames come, the sticks stay.
    Still,
    /// This axis is at this deflection.
    Out(u8, i16),
    /// Each stick is put somewhere and then moved by this many units in each step.
    Put(Vec<(u8, Aim, i16)>),
}

/// Where a stick is put; the offset is in units.
#[derive(Clone, Debug)]
pub(crate) enum Aim {
    At(i16),
    /// At `engage` from its fixed rest (or from where the stick is) to one side, plus the offset. The next three
    /// likewise; `Window` is from the stick of the other person.
    Engage(Side, i8),
    Release(Side, i8),
    Window(Side, i8),
    Beyond(Side, i8),
    /// Beside the last output.
    Output(i8),
    /// Further than `engage` from the last output.
    OutputEngage(Side, i8),
    /// Beside the edge of what is plausible.
    Plausible(Side, i8),
    Rest,
}

/// Above or below.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Side {
    Up,
    Down,
}

impl Side {
    pub(crate) fn sign(self) -> i32 {
        match self {
            Side::Up => 1,
            Side::Down => -1,
        }
    }
}

pub(crate) fn any() -> impl Strategy<Value = Trace> {
    let start = prop_oneof![3 => Just(0), 1 => Just(u32::MAX - 500_000), 1 => proptest::num::u32::ANY];
    (start, vec(segment(), 1..40)).prop_map(|(start, segments)| Trace { start, segments })
}

fn segment() -> impl Strategy<Value = Segment> {
    let gap = prop_oneof![
        8 => Just(Gap::Us(10_000)),
        1 => Just(Gap::Us(0)),
        3 => (0u8..13, -1i8..=1).prop_map(|(which, offset)| Gap::Edge(which, offset)),
        1 => (0u32..300_000).prop_map(Gap::Us),
    ];
    let pace = prop_oneof![6 => Just(10_000u32), 1 => 0u32..3, 2 => 1_000u32..40_000];
    let steps = prop_oneof![2 => 1u8..4, 2 => 1u8..24, 1 => 10u8..60];
    let hand_over = weighted(0.3, prop_oneof![3 => Just(Sticks::AtRest), 1 => Just(Sticks::AsTheyAre)]);
    let switch = proptest::bool::weighted(0.95);
    let now = proptest::bool::weighted(0.02);
    (hand_over, steps, gap, pace, hand(), hand(), switch, now).prop_map(
        |(hand_over, steps, gap, pace, instructor, student, switch, now)| Segment {
            hand_over,
            steps,
            gap,
            pace,
            instructor,
            student,
            switch,
            now,
        },
    )
}

fn hand() -> impl Strategy<Value = Hand> {
    let slope = prop_oneof![4 => Just(0i16), 1 => -3i16..=3, 1 => -400i16..=400];
    prop_oneof![
        1 => Just(Hand::Silent),
        6 => Just(Hand::Still),
        1 => (0u8..16, proptest::num::i16::ANY).prop_map(|(axis, bits)| Hand::Out(axis, bits)),
        6 => vec((0u8..16, aim(), slope), 1..3).prop_map(Hand::Put),
    ]
}

fn aim() -> impl Strategy<Value = Aim> {
    let side = || prop_oneof![Just(Side::Up), Just(Side::Down)];
    let near = || prop_oneof![2 => Just(0i8), 3 => -1i8..=1, 1 => -60i8..60];
    let at = prop_oneof![4 => -3_000i16..3_000, 2 => -16_384i16..=16_384, 1 => proptest::num::i16::ANY];
    prop_oneof![
        4 => Just(Aim::Rest),
        3 => at.prop_map(Aim::At),
        3 => (side(), near()).prop_map(|(side, near)| Aim::Engage(side, near)),
        2 => (side(), near()).prop_map(|(side, near)| Aim::Release(side, near)),
        1 => (side(), near()).prop_map(|(side, near)| Aim::Window(side, near)),
        1 => (side(), near()).prop_map(|(side, near)| Aim::Beyond(side, near)),
        2 => near().prop_map(Aim::Output),
        1 => (side(), near()).prop_map(|(side, near)| Aim::OutputEngage(side, near)),
        1 => (side(), near()).prop_map(|(side, near)| Aim::Plausible(side, near)),
    ]
}
