//! Scopes with one axis, which is watched and shared.

use handback::{AxisRule, Policy, Scope as Taking};

use super::alphabet::{Alphabet, frames, or_bad};
use super::cover::cover;
use super::options::{AXIS, Choice, WHOLE, axis, dts, name, whole};
use super::{Extent, Inputs, Scope};

const SCOPE: [Choice; 1] = [&["scope craft", "scope axis"]];

/// The options that are crossed.
fn options() -> impl Iterator<Item = Choice> {
    SCOPE.into_iter().chain(AXIS).chain(WHOLE)
}

/// The policies with one axis.
pub fn one_axis(extent: Extent) -> Vec<Scope<1>> {
    let radices: Vec<usize> = options().map(<[_]>::len).collect();
    cover(&radices, extent.strength).iter().map(|row| scope(row, extent.inputs)).collect()
}

fn scope(row: &[usize], inputs: Inputs) -> Scope<1> {
    let (of_scope, rest) = row.split_at(SCOPE.len());
    let (of_axis, of_whole) = rest.split_at(AXIS.len());
    let mut policy = Policy::new([AxisRule::sprung()]);
    policy.axes = [axis(of_axis, 2, 1)];
    policy.scope = if of_scope == [1] { Taking::Axis } else { Taking::Craft };
    whole(&mut policy, of_whole);
    let sticks: &[i16] = match inputs {
        // At rest, between `release` and `engage`, past `engage`.
        Inputs::Coarse => &[0, 2, 3],
        // At release, at engage and past it, on the other side, past the student's stick.
        Inputs::Fine => &[0, 1, 2, 3, -3, 5],
    };
    let (instructor, student) = (or_bad(&frames([sticks])), or_bad(&frames([&[0, 4]])));
    let alphabet = Alphabet { dts: dts(&policy, inputs), instructor, student };
    Scope { name: name(options(), row), policy, inputs: alphabet.inputs() }
}
