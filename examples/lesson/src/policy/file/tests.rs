use std::path::Path;

use handback::{AxisRule, AxisSet, Deflection, Duration, Policy, Rest, Scope, Transfer};

use super::*;

mod slips;

fn read<const N: usize>(text: &str) -> Result<Policy<N>, String> {
    let file = PolicyFile::parse(Path::new("p.toml"), text.to_owned());
    file.and_then(|file| file.check()).map(|checked| *checked.policy()).map_err(|fault| fault.to_string())
}

const THROTTLE: AxisRule = AxisRule::unsprung(Deflection::from_points(-100));

#[test]
fn the_printed_file_is_the_default_policy() {
    let sprung = AxisRule::sprung();
    assert_eq!(read(DEFAULT), Ok(Policy::new([sprung, sprung, THROTTLE, sprung])));
}

/// Given the printed file, when the optional keys are uncommented, then they are set, and every key that the reader
/// knows is in the file.
#[test]
fn the_printed_file_shows_every_key() {
    let all = DEFAULT.replace("# lasted_ms", "lasted_ms").replace("# beyond_points", "beyond_points");
    let all = all.replace("# window_points", "window_points").replace("# frozen_after_ms", "frozen_after_ms");
    let policy = read::<4>(&all).unwrap();
    assert_eq!(policy.frozen_after, Some(Duration::from_ticks(3_000_000)));
    assert_eq!(policy.latches.lasted, Some(Duration::from_ticks(3_000_000)));
    assert_eq!(policy.latches.beyond, Some(Deflection::from_points(30)));
    assert_eq!(policy.axes[0].window, Some(Deflection::from_points(20)));
    // The reader names its keys when it finds one that it does not know.
    for stranger in ["x = 1\n", "[latches]\nx = 1\n", "[[axis]]\nx = 1\n"] {
        let message = read::<4>(stranger).unwrap_err();
        let listed = message.split("expected").nth(1).unwrap();
        let keys = listed.split('`').skip(1).step_by(2).filter(|key| !key.starts_with("lesson")).collect::<Vec<_>>();
        assert!(keys.len() >= 2, "{message}");
        for key in keys {
            let boxed = crate::policy::default_box();
            let shown = all.lines().chain(boxed.lines()).map(|line| line.split("  ").next().unwrap()).any(|line| {
                line.starts_with(&format!("{key} = ")) || line == format!("[{key}]") || line == format!("[[{key}]]")
            });
            assert!(shown, "{key} is not in the printed file");
        }
    }
}

#[test]
fn a_kind_gives_the_defaults_and_every_key_overrides_them() {
    let policy = read::<2>(
        r#"
        scope = "axis"
        plausible_points = 125
        dwell_ms = 0.001
        timeout_ms = 16.667
        off_first_after_loss = false
        [[axis]]
        name = "a"
        kind = "sprung"
        engage_points = 6
        confirm = 3
        rest = "where-left"
        transfer = "pickup"
        keep = true
        window_points = 12.5
        failsafe_points = -1
        [[axis]]
        name = "b"
        kind = "unsprung"
        rest_points = -98.7
        failsafe_points = -100
        shared = false
        "#,
    )
    .unwrap();
    let mut expected = Policy::new([AxisRule::sprung(), THROTTLE]);
    expected.scope = Scope::Axis;
    expected.plausible = Deflection::from_points(125);
    expected.dwell = Duration::from_ticks(1);
    expected.timeout = Duration::from_ticks(16_667);
    expected.off_first_after_loss = false;
    expected.shared = AxisSet::of(&[0]);
    expected.axes[0].engage = Deflection::from_points(6);
    expected.axes[0].release = Deflection::from_bits(491); // half of 983
    expected.axes[0].confirm = 3;
    expected.axes[0].rest = Rest::WhereLeft { still: Duration::from_millis(500) };
    expected.axes[0].transfer = Transfer::Pickup;
    expected.axes[0].keep = true;
    expected.axes[0].window = Some(Deflection::from_centipoints(1250));
    expected.axes[0].failsafe = Deflection::from_points(-1);
    expected.axes[1].rest = Rest::At(Deflection::from_centipoints(-9870));
    assert_eq!(policy, expected);
}

/// The table of a sprung axis, to which lines can be added.
fn sprung(name: &str) -> String {
    format!("[[axis]]\nname = \"{name}\"\nkind = \"sprung\"\n")
}

/// A file of one sprung axis with these lines before and in its table, which begins in line 2.
fn one(whole: &str, axis: &str) -> String {
    read::<1>(&format!("{whole}\n{}{axis}\n", sprung("roll"))).unwrap_err()
}

/// Given a policy that the check refuses, when it is read, then the message names the line and the key at fault.
#[test]
fn a_refusal_of_the_check_names_the_line_and_the_key() {
    for (whole, axis, place, told) in [
        ("", "engage_points = 0", "line 5, column 17 (engage_points)", "axis \"roll\": engage is 0.00 points"),
        ("", "release_points = 2", "line 5, column 18 (release_points)", "below engage, 2.00 points"),
        ("", "confirm = 0", "line 5, column 11 (confirm)", "confirm is 0"),
        ("", "rest_points = 151", "line 5, column 15 (rest_points)", "rest is 151.00 points"),
        ("", "window_points = -1", "line 5, column 17 (window_points)", "window is -1.00 points"),
        ("", "failsafe_points = -160", "line 5, column 19 (failsafe_points)", "failsafe is -160.00 points"),
        (
            "",
            "rest = \"where-left\"\nstill_ms = 3000000",
            "line 6, column 12 (still_ms)",
            "still is 3000000 ms: it must be at most half the range of the clock, 2147483.648 ms",
        ),
        ("", "watched = false", "line 5, column 11 (watched)", "watched is empty"),
        ("plausible_points = 99", "", "line 1, column 20 (plausible_points)", "it must be 100 points or more"),
        ("timeout_ms = 0", "", "line 1, column 14 (timeout_ms)", "timeout is 0 ms: it must be 0.001 ms or"),
        (
            "timeout_ms = 1001",
            "",
            "line 1, column 14 (timeout_ms)",
            "failsafe_after is 1000 ms: it must be timeout, 1001 ms, or longer",
        ),
        (
            "failsafe_after_ms = 149",
            "",
            "line 1, column 21 (failsafe_after_ms)",
            "failsafe_after is 149 ms: it must be timeout, 150 ms, or longer",
        ),
        ("late_step_ms = 2147483.649", "", "line 1, column 16 (late_step_ms)", "late_step is 2147483.649 ms"),
        ("latches.beyond_points = 150", "", "line 1, column 25 (beyond_points)", "below plausible"),
    ] {
        let message = one(whole, axis);
        assert!(message.starts_with(&format!("p.toml, {place}: ")), "{message}");
        assert!(message.contains(told), "{message}");
    }
    let shared = format!("scope = \"axis\"\n{}{}watched = false", sprung("a"), sprung("b"));
    let message = read::<2>(&shared).unwrap_err();
    assert!(message.starts_with("p.toml, line 8, column 11 (watched): axis \"b\": shared names axis 1"), "{message}");
}

/// Given a text that is no policy, when it is read, then the message has line, column, value and remedy.
#[test]
fn what_is_no_policy_is_said_with_line_column_value_and_remedy() {
    for (whole, axis, told) in [
        ("dwel_ms = 3", "", "line 1, column 1 (dwel_ms): unknown key \"dwel_ms\"; write dwell_ms"),
        ("", "engage = 3", "line 5, column 1 (engage): unknown key \"engage\"; write engage_points"),
        ("latches.last = 3", "", "line 1, column 9 (last): unknown key \"last\"; write lasted_ms"),
        ("", "engage_points = 2,5", "line 5, column 18 (engage_points): unexpected key or value"),
        ("", "engage_points = 2,5", "; the decimal sign is a point: write 2.5"),
        ("", "rest_points = -1,5 # ours", "; the decimal sign is a point: write -1.5"),
        ("", "rest_points = \"1,25\"", "; the decimal sign is a point: write 1.25, without quotes"),
        ("latches = { beyond_points = 30,5 }", "", "; the decimal sign is a point: write 30.5"),
        ("dwell_ms = \"300\"", "", "line 1, column 12 (dwell_ms): \"300\" is no number; write 300, without quotes"),
        ("dwell_ms = nan", "", "line 1, column 12 (dwell_ms): \"nan\" is no time"),
        ("dwell_ms = -1", "", "line 1, column 12 (dwell_ms): \"-1\" is below 0; give a number of"),
        ("dwell_ms = 0.0005", "", "\"0.0005\" is finer than a microsecond; round it to 3 decimals"),
        ("dwell_ms = inf", "", "\"inf\" is no time"),
        ("dwell_ms = 1\ndwell_ms = 2", "", "line 2, column 1 (dwell_ms): duplicate key"),
        ("scope = \"boat\"", "", "line 1, column 9 (scope): unknown variant `boat`, expected `craft` or `axis`"),
        (
            "",
            "engage_points = 200",
            "line 5, column 17 (engage_points): \"200\" is no deflection; give 0 to 199.99 points",
        ),
        ("", "engage_points = nan", "\"nan\" is no deflection"),
        (
            "",
            "confirm = 256",
            "line 5, column 11 (confirm): \"256\" is no number of frames; write a whole number from 1 to 255",
        ),
        ("", "rest = \"where-left\"\nrest_points = 3", "line 5, column 8 (rest): the axis has both"),
        ("", "still_ms = 3", "line 5, column 12 (still_ms): the axis rests at a fixed place"),
        ("this is no toml", "", "line 1: \"this is no toml\" has no equals sign; write a key, an equals sign"),
    ] {
        let message = one(whole, axis);
        assert!(message.starts_with("p.toml, line "), "{message}");
        assert!(message.contains(told), "{message}\nwanted: {told}");
        assert!(!message.contains('\n'), "{message}");
    }
}

/// Given an axis without its name, its kind or, if it is unsprung, its failsafe, when the policy is read, then it is
/// refused with its place.
#[test]
fn an_axis_needs_name_and_kind_and_some_a_failsafe() {
    for (text, told) in [
        ("", "line 1: no axis: add a table [[axis]]"),
        ("[[axis]]\nkind = \"sprung\"", "line 1, column 1 ([[axis]]): missing field `name`"),
        ("[[axis]]\nname = \"a\"", "line 1, column 1 ([[axis]]): missing field `kind`"),
        ("[[axis]]\nname = \"cause\"\nkind = \"sprung\"", "line 2, column 8 (name): \"cause\" is the name of a column"),
        ("[[axis]]\nname = \"a,b\"\nkind = \"sprung\"", "line 2, column 8 (name): \"a,b\" names no axis"),
        (
            "[[axis]]\nname = \"throttle\"\nkind = \"unsprung\"",
            "line 3, column 8 (kind): axis \"throttle\" is unsprung and has no failsafe_points; add failsafe_points",
        ),
    ] {
        let message = read::<1>(text).unwrap_err();
        assert!(message.starts_with(&format!("p.toml, {told}")), "{message}\nwanted: {told}");
    }
    let twins = sprung("a").repeat(2);
    assert!(read::<2>(&twins).unwrap_err().contains("line 5, column 8 (name): \"a\" names an axis above too"));
    let crowd = (0..17).map(|axis| sprung(&axis.to_string())).collect::<Vec<_>>().concat();
    assert!(read::<16>(&crowd).unwrap_err().contains("line 50, column 8 (name): \"16\" is axis 17"));
}

#[test]
fn the_axes_follow_the_order_of_the_trace() {
    let text = format!("{}shared = false\n{}keep = true\n", sprung("a"), sprung("b"));
    let arranged = |names: &[&str]| {
        let names = names.iter().map(|&name| name.to_owned()).collect::<Vec<_>>();
        let file = PolicyFile::parse(Path::new("p.toml"), text.clone()).unwrap();
        let arranged = file.arranged(Path::new("t.csv"), &names);
        arranged.and_then(|file| file.check::<2>()).map(|checked| *checked.policy()).map_err(|fault| fault.to_string())
    };
    let policy = arranged(&["b", "a"]).unwrap();
    assert!(policy.axes[0].keep && !policy.axes[1].keep);
    assert_eq!(policy.shared, AxisSet::of(&[0]));
    assert!(
        arranged(&["a"]).unwrap_err().starts_with("p.toml, line 6, column 8 (name): the axis \"b\" is not in t.csv")
    );
    assert_eq!(
        arranged(&["a", "b", "c"]).unwrap_err(),
        "p.toml: has no axis \"c\", which t.csv has; add a table [[axis]] for it"
    );
}
