// A takeover policy, printed by `lesson policy --rust`. Save it as a module of its own, such as policy.rs: it has its own
// `use`. The compiler checks it once more; that it passes its check does not make it right for a craft.
// CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,
// propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's
// manual, the band's rules, local rules, club rules and your instructor's word come first.

use handback::{
    AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer,
};

/// The policy, checked when it is compiled.
pub static POLICY: CheckedPolicy<2> = match SETTINGS.check() {
    Ok(policy) => policy,
    Err(why) => panic!("{}", why.message().as_str()),
};

const SETTINGS: Policy<2> = Policy {
    axes: [
        // 0: cyclic roll
        AxisRule {
            engage: Deflection::from_points(3),
            release: Deflection::from_centipoints(150),
            confirm: 2,
            rest: Rest::At(Deflection::from_centipoints(-150)),
            transfer: Transfer::Snap,
            keep: false,
            window: Some(Deflection::from_centipoints(2)),
            failsafe: Deflection::from_bits(1967 /* 12.006 points */),
        },
        // 1: collective
        AxisRule {
            engage: Deflection::from_points(8),
            release: Deflection::from_points(4),
            confirm: 1,
            rest: Rest::WhereLeft { still: Duration::from_millis(400) },
            transfer: Transfer::Pickup,
            keep: true,
            window: None,
            failsafe: Deflection::from_points(-20),
        },
    ],
    watched: AxisSet::of(&[0, 1]),
    shared: AxisSet::of(&[0]),
    scope: Scope::Axis,
    plausible: Deflection::from_centipoints(12550),
    settle: Duration::from_micros(1),
    dwell: Duration::from_millis(250),
    fade: Duration::from_micros(500),
    pickup_max: Duration::from_millis(2000),
    timeout: Duration::from_micros(16667),
    requalify: Duration::from_millis(1000),
    failsafe_after: Duration::from_millis(1000),
    late_step: Duration::from_millis(250),
    off_first_after_loss: false,
    latches: Latches { lasted: Some(Duration::from_millis(2000)), beyond: Some(Deflection::from_points(40)) },
};
