//! The command `cost`: a table and a picture, or one message and nothing.

use std::fs;

use crate::desk::{Desk, is_svg};

#[test]
fn it_prints_a_table_and_draws_a_picture_and_cautions() {
    let desk = Desk::new();
    let out = desk.run_well(&["cost"]);
    assert_eq!(desk.files(), ["cost.svg"]);
    assert!(is_svg(&desk.path("cost.svg")));
    for wanted in ["Height lost in level flight", "Written: cost.svg", "no promise", "propellers off", "failsafe"] {
        assert!(out.contains(wanted), "no '{wanted}' in {out}");
    }
    assert!(out.lines().all(|line| line.chars().count() <= 100), "{out}");
    let drawn = desk.read("cost.svg");
    assert_eq!(desk.run_well(&["cost"]), out);
    assert_eq!(desk.read("cost.svg"), drawn, "the same words are the same bytes");
}

/// Given the worked example of the page, when the tool runs it, then it prints the same text, word for word.
#[test]
fn the_worked_example_of_the_page_is_what_the_tool_prints() {
    let page = include_str!("../../COST.md");
    let command = page.split_once("cargo run --release -- ").unwrap().1.lines().next().unwrap();
    let shown = page.split_once("```text\n").unwrap().1.split_once("```").unwrap().0;
    let out = Desk::new().run_well(&command.split_whitespace().collect::<Vec<_>>());
    let table = out.trim_start().split_once("\nHow to read it").unwrap().0;
    assert_eq!(shown, table, "printed:\n{table}");
}

/// Given a policy, when the cost is computed from it, then it uses the largest `confirm` of the watched axes: a
/// takeover waits for that of its own axis (T1), and this is the slowest.
#[test]
fn the_policy_gives_the_largest_confirm_of_its_watched_axes() {
    let desk = Desk::new();
    let axis = |name: &str, keys: &str| format!("[[axis]]\nname = \"{name}\"\nkind = \"sprung\"\n{keys}\n");
    let unwatched = axis("c", "confirm = 9\nwatched = false\nshared = false");
    desk.put("p.toml", axis("a", "") + &axis("b", "confirm = 3") + &unwatched);
    let from_policy = desk.run_well(&["cost", "--policy", "p.toml"]);
    assert!(from_policy.contains("confirm 3: 2 more frames"), "{from_policy}");
    assert_eq!(from_policy, desk.run_well(&["cost", "--confirm", "3"]));
}

#[test]
fn lists_are_sorted_and_a_reaction_has_a_name_or_a_number() {
    let desk = Desk::new();
    let sorted = desk.run_well(&["cost", "--speed-m-per-s", "5,10", "--reaction", "rotorcraft"]);
    assert_eq!(sorted, desk.run_well(&["cost", "--speed-m-per-s", "10,5,10.0", "--reaction", "rotorcraft"]));
    let given = desk.run_well(&["cost", "--speed-m-per-s", "5,10", "--reaction-ms", "1000"]);
    assert!(given.contains("human: as given") && !sorted.contains("human: as given"));
    let figures = |out: &str| out.split_once("electronics, together").unwrap().1.to_owned();
    assert_eq!(figures(&given), figures(&sorted));
}

#[test]
fn a_value_out_of_range_is_refused_with_option_and_remedy() {
    let desk = Desk::new();
    for (option, value, remedy) in [
        ("--speed-m-per-s", "0", "metres a second from 1 to 300"),
        ("--speed-m-per-s", "10,301", "metres a second from 1 to 300"),
        ("--speed-m-per-s", "fast", "metres a second from 1 to 300"),
        ("--speed-m-per-s", "", "metres a second from 1 to 300"),
        ("--bank-deg", "-1", "degrees from 0 to 180"),
        ("--bank-deg", "180.1", "degrees from 0 to 180"),
        ("--dive-deg", "91", "degrees from 0 to 90"),
        ("--frame-ms", "0", "milliseconds from 0.5 to 1000"),
        ("--frame-ms", "NaN", "milliseconds from 0.5 to 1000"),
        ("--confirm", "0", "frames from 1 to 255"),
        ("--confirm", "256", "frames from 1 to 255"),
        ("--confirm", "1.5", "frames from 1 to 255"),
        ("--link-ms", "inf", "milliseconds from 0 to 10000"),
        ("--output-frame-ms", "-20", "milliseconds from 0 to 1000"),
        ("--reaction-ms", "1e9", "milliseconds from 0 to 60000"),
        ("--reaction", "asleep", "watching, rotorcraft, road"),
    ] {
        let run = desk.run(&["cost", option, value]);
        assert_eq!((run.code, run.out.as_str()), (Some(2), ""), "{option} {value}");
        for said in ["error: ", option, value.rsplit(',').next().unwrap(), remedy] {
            assert!(run.err.contains(said), "no '{said}' in {}", run.err);
        }
    }
    desk.run(&["cost", "--bank-deg", "1,2,3,4,5,6"])
        .is_refused_with("--bank-deg: 6 different values; give 5 or fewer at a time");
    desk.run(&["cost", "--confirm", "255", "--frame-ms", "500"])
        .is_refused_with("--frame-ms, --link-ms, --output-frame-ms: the delay comes to 127.9 s; keep it to 60 s");
    for both in [["--confirm", "2", "--policy", "p.toml"], ["--reaction", "road", "--reaction-ms", "300"]] {
        let run = desk.run(&["cost", both[0], both[1], both[2], both[3]]);
        assert_eq!((run.code, run.out.as_str()), (Some(2), ""));
        assert!(run.err.contains("cannot be used with"), "{}", run.err);
    }
    assert!(desk.files().is_empty());
}

/// Given a file that cannot be read or written, when the command runs, then it is refused and all files are as before.
#[test]
fn a_file_that_cannot_be_read_or_written_changes_nothing() {
    let desk = Desk::new();
    desk.put("cost.svg", "before").put("p.toml", "confrm = 2\n");
    desk.run(&["cost", "--policy", "none.toml"]).is_refused_with("none.toml: cannot be read: no such file");
    desk.run(&["cost", "--policy", "p.toml"])
        .is_refused_with("p.toml, line 1, column 1 (confrm): unknown key \"confrm\"; write confirm");
    desk.run(&["cost", "--picture", "nowhere/c.svg"]).is_refused_with("nowhere/c.svg: cannot be written: no such file");
    fs::create_dir(desk.path("folder")).unwrap();
    desk.run(&["cost", "--picture", "folder"]).is_refused_with("folder: cannot be written: is a directory");
    desk.put("p.toml", desk.run_well(&["policy"]));
    desk.run(&["cost", "--policy", "p.toml", "--picture", "p.toml"])
        .is_refused_with("p.toml: is read or written by the same command already");
    assert_eq!((desk.read("cost.svg").as_str(), desk.files().len()), ("before", 3));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said() {
    let desk = Desk::new();
    desk.run(&["cost", "--picture", "/dev/full"]).is_refused_with("/dev/full: cannot be written: no space left");
    assert!(desk.files().is_empty());
}
