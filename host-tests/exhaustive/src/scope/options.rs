//! The options that do not depend on the number of axes.

use handback::{AxisRule, Deflection, Duration, Policy, Rest, Transfer};

use super::Inputs;

/// An option: its values in words.
pub(crate) type Choice = &'static [&'static str];

/// The options of the whole policy, crossed with those of the axes.
pub(crate) const WHOLE: [Choice; 7] = [
    &["times A", "times B"],
    &["no fade", "fade"],
    &["no lasted", "lasted"],
    &["no beyond", "beyond"],
    &["no frozen", "frozen"],
    &["no off-first after loss", "off-first after loss"],
    &["confirm 1", "confirm 2"],
];

/// The options of one axis.
pub(crate) const AXIS: [Choice; 4] =
    [&["at 0", "where left"], &["snap", "pickup"], &["no keep", "keep"], &["no gate", "gate"]];

pub(crate) const fn us(us: u32) -> Duration {
    Duration::from_ticks(us)
}

pub(crate) const fn units(units: i16) -> Deflection {
    Deflection::from_bits(units)
}

/// The values of a row in words.
pub(crate) fn name(options: impl IntoIterator<Item = Choice>, row: &[usize]) -> String {
    let names: Vec<&str> = options.into_iter().zip(row).map(|(names, &value)| names[value]).collect();
    names.join(", ")
}

/// The rule of an axis with these thresholds, in units.
pub(crate) fn axis(row: &[usize], engage: i16, release: i16) -> AxisRule {
    let [where_left, pickup, keep, gate] = row else { unreachable!("a value for each option") };
    let mut rule = AxisRule::sprung();
    (rule.engage, rule.release, rule.failsafe) = (units(engage), units(release), units(-1));
    rule.rest = if *where_left == 1 { Rest::WhereLeft { still: us(1) } } else { Rest::At(units(0)) };
    rule.transfer = if *pickup == 1 { Transfer::Pickup } else { Transfer::Snap };
    rule.keep = *keep == 1;
    rule.window = (*gate == 1).then_some(units(2));
    rule
}

/// Sets the options of the whole policy.
///
/// In times A, `failsafe_after` is longer than `timeout` and `dwell` longer than `settle` and `requalify`. In times B,
/// `failsafe_after` is `timeout`, `settle` and `requalify` are longer than `dwell`, and `fade` is longer than every wait.
pub(crate) fn whole<const N: usize>(policy: &mut Policy<N>, row: &[usize]) {
    let [times, fade, lasted, beyond, frozen, off_first, confirm] = row else {
        unreachable!("a value for each option")
    };
    policy.plausible = units(1 << 14);
    let is_a = *times == 0;
    let [settle, dwell, requalify, timeout, failsafe_after, late_step, pickup_max, fades, lasts, freezes, still] =
        if is_a { [1, 2, 1, 1, 2, 2, 2, 2, 2, 2, 1] } else { [2, 1, 2, 2, 2, 3, 1, 3, 1, 1, 2] };
    (policy.settle, policy.dwell, policy.requalify) = (us(settle), us(dwell), us(requalify));
    (policy.timeout, policy.failsafe_after, policy.late_step) = (us(timeout), us(failsafe_after), us(late_step));
    policy.pickup_max = us(pickup_max);
    policy.fade = us(if *fade == 1 { fades } else { 0 });
    policy.latches.lasted = (*lasted == 1).then_some(us(lasts));
    policy.latches.beyond = (*beyond == 1).then_some(units(3));
    policy.frozen_after = (*frozen == 1).then_some(us(freezes));
    policy.off_first_after_loss = *off_first == 1;
    for rule in &mut policy.axes {
        rule.confirm = if *confirm == 1 { 2 } else { 1 };
        if let Rest::WhereLeft { .. } = rule.rest {
            rule.rest = Rest::WhereLeft { still: us(still) };
        }
    }
}

/// Times since the step before: the shortest, and one that is late; where fine, none and the longest that is not late.
pub(crate) fn dts<const N: usize>(policy: &Policy<N>, inputs: Inputs) -> Vec<u32> {
    let late = policy.late_step.as_ticks();
    match inputs {
        Inputs::Coarse => vec![1, late + 1],
        Inputs::Fine => vec![0, 1, late, late + 1],
    }
}
