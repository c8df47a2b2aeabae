//! The command `policy`: what it prints is read back, and the Rust that it prints is compiled here; the C by `.ci/c`.

use handback::cue::{CueRules, Phrase, Rhythm};
use handback::ppm::{DecoderSetup, EncoderSetup, Level};
use handback::{AxisRule, AxisSet, Channel, Channels, Deflection, Duration, Policy, Pulse, Rest, Scope, Transfer};
use trainer_box::{AxisName, Plan};

use crate::desk::Desk;

// Not formatted here: it is laid out for the default width of rustfmt. In firmware other modules can reach it.
#[rustfmt::skip]
#[allow(unreachable_pub)]
#[path = "policy_rust/expected.rs"]
mod printed;

#[rustfmt::skip]
#[allow(unreachable_pub)]
#[allow(clippy::unreadable_literal)] // so is it printed
#[path = "policy_rust/expected_box.rs"]
mod printed_box;

const BOX: &str = include_str!("policy_rust/box.toml");
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

/// Given a box in which values of every kind differ from their defaults, when it is printed as Rust, then the text is
/// the committed module, which was compiled into this test, and its plan is the one that is written by hand below.
#[test]
fn the_rust_of_a_box_is_its_plan() {
    let desk = Desk::new();
    desk.put("box.toml", BOX);
    let printed = desk.run_well(&["policy", "box.toml", "--rust"]);
    assert_eq!(printed, include_str!("policy_rust/expected_box.rs"));

    let throttle = AxisRule::unsprung(Deflection::from_points(-100));
    let mut plan = Plan {
        names: AxisName::all(["roll", "throttle"]),
        policy: Policy::new([AxisRule::sprung(), throttle]),
        instructor: Channels::pulses(),
        student: Channels::pulses(),
        craft: Channels::pulses(),
        instructor_train: DecoderSetup::new(Level::High),
        student_train: DecoderSetup::new(Level::Low),
        craft_train: EncoderSetup::new(Level::High),
        cues: CueRules::new(),
    };
    plan.policy.dwell = Duration::from_millis(250);
    plan.policy.shared = AxisSet::of(&[0]);
    plan.instructor_train.channels = Some(9);
    plan.instructor_train.jitter = Duration::from_ticks(6);
    plan.student_train.channels = Some(6);
    plan.student_train.silence = Duration::from_ticks(60_500);
    plan.craft_train.channels = Some(8);
    plan.craft_train.frame_length = Duration::from_ticks(22_501);
    plan.cues.nobody.every = Duration::from_secs(5);
    plan.cues.nobody.phrase = Some(Phrase { slot: 2, lasts: Duration::from_ticks(1_500_500) });
    plan.cues.taken.rhythm = Rhythm::of([600, 100, 600]);
    plan.cues.taken.lamp = false;
    let mut roll = Channel::pulse(5);
    (roll.reversed, roll.centre) = (true, Pulse::from_bits(24_003));
    (roll.rate, roll.limit_above) = (Deflection::from_points(60), Some(Deflection::from_points(50)));
    plan.student.axes = [Some(roll), None];
    assert_eq!(printed_box::PLAN.plan(), plan);
}

/// Given a box, when its C is printed, then it is the C of its policy alone, and says so.
#[test]
fn the_c_of_a_box_is_that_of_its_policy() {
    let desk = Desk::new();
    let boxed = desk.run_well(&["policy", "--box", "--c"]);
    let left_out = "// The file is that of a box. This is its policy alone: channels, pulse trains and cues have no interface for C.\n";
    assert_eq!(boxed.replace(left_out, ""), desk.run_well(&["policy", "--c"]));
    assert!(boxed.contains(left_out));
}

/// Given a box file, when a lesson is flown with it, then it decides as its policy alone does, and `tune` keeps it.
#[test]
fn a_box_is_read_where_a_policy_is() {
    let desk = Desk::new();
    let text = desk.run_well(&["policy", "--box"]);
    assert_eq!(
        desk.put("box.toml", text).run_well(&["policy", "box.toml"]),
        "box.toml: ok, a box of 4 axes: aileron, elevator, throttle, rudder\n"
    );
    let policy = desk.run_well(&["policy"]);
    desk.put("policy.toml", policy).run_well(&["fly", "--minutes", "1", "--record", "lesson.csv"]);
    desk.run_well(&["replay", "lesson.csv", "--policy", "policy.toml", "--decisions", "a.csv"]);
    desk.run_well(&["replay", "lesson.csv", "--policy", "box.toml", "--decisions", "b.csv"]);
    assert_eq!(desk.read("a.csv"), desk.read("b.csv"));

    let noise = (0..600).map(|n| format!("{},{}\n", n * 20_000, 1500 + n * 7 % 5)).collect::<Vec<_>>().concat();
    let one = BOX.split_once("[[axis]]\nname = \"throttle\"").unwrap().0;
    desk.put("rest.csv", format!("time_us,us:roll\n{noise}")).put("one.toml", one);
    desk.run_well(&["tune", "rest.csv", "--policy", "one.toml"]);
    let tuned = desk.read("tuned.toml");
    assert!(tuned.contains("[student]\nchannels = 6\n") && tuned.contains("rate_percent = 60\n"), "{tuned}");
    desk.run_well(&["policy", "tuned.toml"]);
}
