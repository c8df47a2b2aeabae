//! The command `policy`: what it prints is read back, and the Rust that it prints is compiled here.

use handback::{AxisRule, AxisSet, Deflection, Duration, Latches, Policy, Rest, Scope, Transfer};

use crate::desk::Desk;

// Skipped: it is laid out for rustfmt's own width. In firmware others can reach it.
#[rustfmt::skip]
#[allow(unreachable_pub)]
#[path = "policy_rust/expected.rs"]
mod printed;

const TOML: &str = include_str!("policy_rust/policy.toml");

#[test]
fn the_rust_that_is_printed_is_the_policy_of_the_file() {
    let desk = Desk::new();
    let printed = desk.put("policy.toml", TOML).run_well(&["policy", "policy.toml", "--rust"]);
    assert_eq!(printed, include_str!("policy_rust/expected.rs"));

    // Written by hand from the file; the printed text was compiled into this test.
    let by_hand = Policy {
        scope: Scope::Axis,
        shared: AxisSet::of(&[0]),
        plausible: Deflection::from_centipoints(12_550),
        settle: Duration::from_ticks(0),
        dwell: Duration::from_ticks(250_000),
        fade: Duration::from_ticks(500),
        timeout: Duration::from_ticks(16_667),
        rearm_after_loss: false,
        latches: Latches { lasted: Some(Duration::from_ticks(2_000_000)), beyond: Some(Deflection::from_points(40)) },
        ..Policy::new([
            AxisRule {
                engage: Deflection::from_bits(492), // 3.003 points are 492.01 units
                release: Deflection::from_bits(246),
                confirm: 2,
                rest: Rest::At(Deflection::from_centipoints(-150)),
                transfer: Transfer::Snap,
                window: Some(Deflection::from_bits(3)), // 0.02 points are 3.28 units
                failsafe: Deflection::from_bits(1967),  // 12.006 points are 1967.06 units, which no hundredths give
                ..AxisRule::sprung()
            },
            AxisRule {
                rest: Rest::WhereLeft { still: Duration::from_ticks(400_000) },
                ..AxisRule::unsprung(Deflection::from_points(-20))
            },
        ])
    };
    assert_eq!(*printed::POLICY.policy(), by_hand);
}

#[test]
fn the_printed_policy_passes_its_own_check() {
    let desk = Desk::new();
    let toml = desk.run_well(&["policy"]);
    let ok = desk.put("policy.toml", &toml).run_well(&["policy", "policy.toml"]);
    assert_eq!(ok, "policy.toml: ok, 4 axes: aileron, elevator, throttle, rudder\n");
    assert_eq!(desk.run_well(&["policy", "--rust"]), desk.run_well(&["policy", "policy.toml", "--rust"]));
    assert!(toml.lines().all(|line| line.chars().count() <= 120));
}

#[test]
fn the_rust_carries_a_caution() {
    let rust = Desk::new().run_well(&["policy", "--rust"]);
    for word in ["CAUTION", "failsafe", "range check", "propellers off", "instructor present", "club rules"] {
        assert!(rust.contains(word), "{word}");
    }
}

#[test]
fn a_policy_that_fails_its_check_prints_no_rust() {
    let desk = Desk::new();
    desk.put("policy.toml", TOML.replace("confirm = 2", "confirm = 0"));
    let run = desk.run(&["policy", "policy.toml", "--rust"]);
    run.is_refused_with(
        "policy.toml, line 15, column 11 (confirm): axis \"cyclic roll\": confirm is 0: it must be 1 or more",
    );
}
