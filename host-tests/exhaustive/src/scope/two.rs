//! Scopes with two axes, whose thresholds differ.

use handback::{AxisRule, AxisSet, Frame, Policy, Scope as Taking};

use super::alphabet::{Alphabet, frames, or_bad, or_none};
use super::cover::cover;
use super::options::{AXIS, Choice, WHOLE, axis, dts, name, units, whole};
use super::{Extent, Inputs, Scope};

/// Which axis takes how much, and which is watched and shared; in scope `Axis` a shared axis is watched.
const SETS: [Choice; 1] = [&[
    "scope craft",
    "scope craft, axis 1 not shared",
    "scope craft, axis 1 not watched",
    "scope axis",
    "scope axis, axis 1 not shared",
]];

/// The options that are crossed, those of axis 0 before those of axis 1.
fn options() -> impl Iterator<Item = Choice> {
    SETS.into_iter().chain(AXIS).chain(AXIS).chain(WHOLE)
}

/// The policies with two axes.
pub fn two_axes(extent: Extent) -> Vec<Scope<2>> {
    let radices: Vec<usize> = options().map(<[_]>::len).collect();
    let mut rows = cover(&radices, extent.strength);
    rows.push(LATCHES_LATER.to_vec());
    rows.iter().map(|row| scope(row, extent.inputs)).collect()
}

/// A takeover that lasts takes what the student still had (the cause `Latch`): that needs four options at once, scope axis,
/// `lasted`, no `beyond` and no `keep`.
const LATCHES_LATER: [usize; 16] = [3, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0];

fn scope(row: &[usize], inputs: Inputs) -> Scope<2> {
    let (sets, rest) = row.split_at(SETS.len());
    let (first, rest) = rest.split_at(AXIS.len());
    let (second, of_whole) = rest.split_at(AXIS.len());
    let mut policy = Policy::new([AxisRule::sprung(); 2]);
    policy.axes = [axis(first, 2, 1), axis(second, 3, 0)];
    let [sets] = sets else { unreachable!("one value for the sets") };
    policy.scope = if *sets > 2 { Taking::Axis } else { Taking::Craft };
    if matches!(sets, 1 | 4) {
        policy.shared = AxisSet::of(&[0]);
    }
    if *sets == 2 {
        policy.watched = AxisSet::of(&[0]);
    }
    whole(&mut policy, of_whole);
    let students = [Frame::CENTRE, Frame::new([units(4), units(-4)])];
    let (instructor, student) = match inputs {
        Inputs::Coarse => (or_bad(&frames([&[0, 3], &[0, 4]])), or_none(&students)),
        Inputs::Fine => (or_bad(&frames([&[0, 3, -3], &[0, 4]])), or_bad(&students)),
    };
    let alphabet = Alphabet { dts: dts(&policy, inputs), instructor, student };
    Scope { name: name(options(), row), policy, inputs: alphabet.inputs() }
}
