// A takeover policy, printed by `lesson policy --rust`. Save it as a module of its own, such as policy.rs: it has its own
// `use`. The compiler checks it once more; that it passes its check does not make it right for a craft.
// CAUTION: what is computed is no promise. First set and test the receiver's failsafe, range check,
// propellers off on the bench, craft held down, bystanders clear, instructor present. The radio's
// manual, the band's rules, local rules, club rules and your instructor's word come first.

use handback::{AxisRule, AxisSet, CheckedPolicy, Deflection, Duration, Policy, Rest, Scope, Transfer};

/// The policy, checked when it is compiled. Behind each field are the rules that it belongs to, of core/CONTRACT.md.
pub static POLICY: CheckedPolicy<2> = handback::checked!({
    let mut policy = Policy::new([
        AxisRule::sprung(), // cyclic roll
        AxisRule::unsprung(Deflection::from_points(-20)), // collective
    ]);
    policy.scope = Scope::Axis; // T5
    policy.watched = AxisSet::of(&[0, 1]); // T1
    policy.shared = AxisSet::of(&[0]); // H1, H5
    policy.plausible = Deflection::from_centipoints(12550); // T4
    policy.settle = Duration::from_micros(1); // S2, S3
    policy.dwell = Duration::from_millis(250); // H1
    policy.fade = Duration::from_micros(500); // H4
    policy.pickup_max = Duration::from_millis(2000); // T6
    policy.timeout = Duration::from_micros(16667); // L1, I1
    policy.requalify = Duration::from_millis(1000); // L2
    policy.frozen_after = None; // L4
    policy.failsafe_after = Duration::from_millis(1000); // I2
    policy.late_step = Duration::from_millis(250); // K1
    policy.off_first_after_loss = false; // S2
    policy.latches.lasted = Some(Duration::from_millis(2000)); // H2
    policy.latches.beyond = Some(Deflection::from_points(40)); // H2

    // 0: cyclic roll
    policy.axes[0].engage = Deflection::from_points(3); // T1
    policy.axes[0].release = Deflection::from_centipoints(150); // T3, R2
    policy.axes[0].confirm = 2; // T1
    policy.axes[0].rest = Rest::At(Deflection::from_centipoints(-150)); // R1, R2
    policy.axes[0].transfer = Transfer::Snap; // T6
    policy.axes[0].keep = false; // H2
    policy.axes[0].window = Some(Deflection::from_centipoints(2)); // H3
    policy.axes[0].failsafe = Deflection::from_bits(1967 /* 12.006 points */); // I2

    // 1: collective
    policy.axes[1].engage = Deflection::from_points(8); // T1
    policy.axes[1].release = Deflection::from_points(4); // T3, R2
    policy.axes[1].confirm = 1; // T1
    policy.axes[1].rest = Rest::WhereLeft { still: Duration::from_millis(400) }; // R1, R2
    policy.axes[1].transfer = Transfer::Pickup; // T6
    policy.axes[1].keep = true; // H2
    policy.axes[1].window = None; // H3
    policy.axes[1].failsafe = Deflection::from_points(-20); // I2
    policy
});
