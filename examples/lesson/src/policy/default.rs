//! The policy of axes for which no file is given, and the check of a policy whose file is only a trace.

use std::path::Path;

use handback::{AxisRule, CheckedPolicy, Deflection, Policy};

use crate::error::Fault;

/// The library's defaults: a throttle or a collective is unsprung, every other axis is sprung.
pub(crate) fn default_policy<const N: usize>(names: &[String]) -> Policy<N> {
    let mut policy = Policy::new([AxisRule::sprung(); N]);
    for (rule, name) in policy.axes.iter_mut().zip(names) {
        if ["throttle", "collective"].iter().any(|unsprung| name.eq_ignore_ascii_case(unsprung)) {
            *rule = AxisRule::unsprung(Deflection::from_points(-100));
        }
    }
    policy
}

/// The policy, checked (P1); a refusal names `path`.
pub(crate) fn checked<const N: usize>(policy: Policy<N>, path: &Path) -> Result<CheckedPolicy<N>, Fault> {
    policy.check().map_err(|why| Fault::told(path, why.to_string()))
}
