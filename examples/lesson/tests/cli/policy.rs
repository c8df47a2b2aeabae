//! The command `policy`: what it prints is read back, and the Rust that it prints is compiled here; the C by `.ci/c`.

use handback::{AxisRule, AxisSet, Deflection, Duration, Policy, Rest, Scope, Transfer};

use crate::desk::Desk;

// Not formatted here: it is laid out for the default width of rustfmt. In firmware other modules can reach it.
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
    let mut by_hand = Policy::new([AxisRule::sprung(), AxisRule::unsprung(Deflection::from_points(-20))]);
    by_hand.scope = Scope::Axis;
    by_hand.shared = AxisSet::of(&[0]);
    by_hand.plausible = Deflection::from_centipoints(12_550);
    by_hand.settle = Duration::from_ticks(1);
    by_hand.dwell = Duration::from_ticks(250_000);
    by_hand.fade = Duration::from_ticks(500);
    by_hand.timeout = Duration::from_ticks(16_667);
    by_hand.off_first_after_loss = false;
    by_hand.latches.lasted = Some(Duration::from_ticks(2_000_000));
    by_hand.latches.beyond = Some(Deflection::from_points(40));
    by_hand.axes[0].engage = Deflection::from_bits(492); // 3.003 points are 492.01 units
    by_hand.axes[0].release = Deflection::from_bits(246);
    by_hand.axes[0].confirm = 2;
    by_hand.axes[0].rest = Rest::At(Deflection::from_centipoints(-150));
    by_hand.axes[0].transfer = Transfer::Snap;
    by_hand.axes[0].window = Some(Deflection::from_bits(3)); // 0.02 points are 3.28 units
    by_hand.axes[0].failsafe = Deflection::from_bits(1967); // 12.006 points are 1967.06 units, which no hundredths give
    by_hand.axes[1].rest = Rest::WhereLeft { still: Duration::from_ticks(400_000) };
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
fn every_policy_that_is_printed_or_written_carries_a_caution() {
    let words = ["CAUTION", "failsafe", "range check", "propellers off", "instructor present", "club rules"];
    let desk = Desk::new();
    desk.run_well(&["fly", "--minutes", "1", "--record-policy", "flown.toml"]);
    let printed = [&["policy"][..], &["policy", "--rust"], &["policy", "--c"]].map(|words| desk.run_well(words));
    for source in printed.into_iter().chain([desk.read("flown.toml")]) {
        for word in words.iter().chain(&["craft held down", "bystanders clear"]) {
            assert!(source.contains(word), "{word}: {source}");
        }
    }
}

/// The check of the C interface compiles this output and starts an engine with it.
#[test]
fn the_c_that_is_printed_is_the_policy_of_the_file() {
    let desk = Desk::new();
    let printed = desk.put("policy.toml", TOML).run_well(&["policy", "policy.toml", "--c"]);
    assert_eq!(printed, include_str!("policy_c/expected.h"));
    assert_eq!(desk.run_well(&["policy", "--c"]).matches(".engage = ").count(), 4, "the default policy has four axes");
}

/// In C a backslash at the end of a line would draw the next one into the comment.
#[test]
fn no_name_of_an_axis_ends_a_line_of_c() {
    let desk = Desk::new();
    let toml = TOML.replace("\"cyclic roll\"", r"'roll\'").replace("\"collective\"", "'pitch */ ??/'");
    let printed = desk.put("policy.toml", toml).run_well(&["policy", "policy.toml", "--c"]);
    assert!(printed.contains('\\') && printed.contains("??/"), "{printed}");
    assert!(printed.lines().all(|line| !line.ends_with('\\') && !line.ends_with("??/")), "{printed}");
}

#[test]
fn a_policy_that_fails_its_check_prints_no_source() {
    for language in ["--rust", "--c"] {
        let desk = Desk::new();
        desk.put("policy.toml", TOML.replace("confirm = 2", "confirm = 0"));
        let run = desk.run(&["policy", "policy.toml", language]);
        run.is_refused_with(
            "policy.toml, line 15, column 11 (confirm): axis \"cyclic roll\": confirm is 0: it must be 1 or more",
        );
    }
}

#[test]
fn one_language_is_printed_at_a_time() {
    let run = Desk::new().run(&["policy", "--rust", "--c"]);
    assert_eq!((run.code, run.out.as_str()), (Some(2), ""));
    assert!(run.err.contains("'--rust' cannot be used with '--c'"), "{}", run.err);
}
