//! The commands with good input.

use std::fmt::Write;
use std::fs;

use crate::desk::{Desk, HEADER, is_svg};

#[test]
fn without_a_command_it_flies_a_lesson_and_draws_it() {
    let desk = Desk::new();
    let out = desk.run_well(&[]);
    assert!(out.contains("agree in every decision and every output"), "{out}");
    assert!(out.contains("Written: lesson.svg"), "{out}");
    assert!(out.contains("CAUTION") && out.contains("propellers off"), "{out}");
    assert!(out.lines().all(|line| line.chars().count() <= 100), "{out}");
    assert_eq!(desk.files(), ["lesson.svg"]);
    assert!(is_svg(&desk.path("lesson.svg")));
}

#[test]
fn a_seed_names_a_lesson_to_the_bit() {
    let desk = Desk::new();
    let fly = |seed: &str, name: &str| {
        desk.run_well(&["fly", "--minutes", "1", "--seed", seed, "--record", name, "--decisions", "d.csv"]);
        (desk.read(name), desk.read("d.csv"))
    };
    let first = fly("3", "a.csv");
    assert_eq!(first, fly("3", "b.csv"));
    assert_ne!(first, fly("4", "c.csv"));
    let (trace, decisions) = first;
    assert!(
        trace.starts_with("time_us,lesson_switch,instructor_now,i:aileron,i:elevator,i:throttle,i:rudder,s:aileron")
    );
    assert!(decisions.starts_with("time_us,flies,student,held,cause,waiting,aileron,elevator,throttle,rudder\n"));
    assert_eq!(trace.lines().count(), decisions.lines().count());
}

/// Given a recorded lesson, when it is replayed with the printed policy and without a policy, then the decisions are
/// the same.
#[test]
fn a_recorded_lesson_replays_alike_with_the_printed_policy() {
    let desk = Desk::new();
    desk.run_well(&["fly", "--minutes", "2", "--record", "trace.csv"]);
    desk.put("policy.toml", desk.run_well(&["policy"]));
    desk.run_well(&["replay", "trace.csv", "--policy", "policy.toml", "--decisions", "given.csv"]);
    let out = desk.run_well(&["replay", "trace.csv", "--decisions", "default.csv"]);
    assert!(out.contains("agree in every decision and every output"), "{out}");
    assert_eq!(desk.files(), ["default.csv", "given.csv", "lesson.svg", "policy.toml", "replay.svg", "trace.csv"]);
    assert_eq!(desk.read("given.csv"), desk.read("default.csv"));
    assert!(desk.read("given.csv").contains(",handed-back,"));
    assert!(is_svg(&desk.path("replay.svg")));
}

/// Given a policy whose rests do not fit the sticks, when a lesson is replayed, then hints name the rests; with a
/// policy that fits there is no hint.
#[test]
fn only_a_policy_whose_rests_do_not_fit_gets_a_hint() {
    let desk = Desk::new();
    for seed in ["2", "3", "4"] {
        let flown = desk.run_well(&["fly", "--seed", seed, "--record", "t.csv", "--record-policy", "p.toml"]);
        assert!(!flown.contains("HINT"), "{flown}");
        let fits = desk.run_well(&["replay", "t.csv", "--policy", "p.toml"]);
        assert!(!fits.contains("HINT"), "{fits}");
        let without = desk.run_well(&["replay", "t.csv"]);
        let hints = without.lines().filter_map(|line| line.split_once("set rest_points = ")).collect::<Vec<_>>();
        assert!(!hints.is_empty(), "{without}");
        // Each hint is the rest in the policy of the flight, to a fifth of a point.
        let policy = desk.read("p.toml");
        for (words, rest) in hints {
            let name = words.trim().split(' ').next().unwrap();
            let table = policy.split(&format!("name = \"{name}\"")).nth(1).unwrap();
            let line = table.lines().find_map(|line| line.strip_prefix("rest_points = ")).unwrap();
            let [hinted, flown] = [rest, line].map(|points| points.parse::<f64>().unwrap());
            assert!((hinted - flown).abs() < 0.2, "{name}: {hinted} {flown}");
        }
    }
}

/// A lesson of a few seconds at 50 frames a second, with the switch off first: the student flies, then the instructor
/// moves the roll stick by 3 points.
fn short_lesson() -> String {
    let mut rows = format!("{HEADER}\n");
    for step in 0..200 {
        let (switch, roll) = (u8::from(step > 5), if step >= 180 { "3" } else { "0.5" });
        writeln!(rows, "{},{switch},0,{roll},-100,-20.25,-50", step * 20_000).unwrap();
    }
    rows
}

/// Given a box that is powered before the transmitter, when no good frame of the instructor comes in the first second,
/// then that is no disagreement.
#[test]
fn a_start_without_the_instructor_is_no_disagreement() {
    let (desk, late) = (Desk::new(), short_lesson());
    for first in [",", "180,180"] {
        let blank = |row: &str| {
            let mut cells: Vec<&str> = row.split(',').collect();
            let bad: Vec<&str> = first.split(',').collect();
            cells[3..5].copy_from_slice(&bad);
            cells.join(",")
        };
        let rows =
            late.lines().enumerate().map(|(at, row)| if (1..=50).contains(&at) { blank(row) } else { row.to_owned() });
        desk.put("late.csv", rows.collect::<Vec<_>>().join("\n"));
        let run = desk.run(&["replay", "late.csv"]);
        assert!(run.code == Some(0) && !run.out.contains("***"), "{run:?}");
        assert!(run.out.contains("nobody flies at the start"), "{run:?}");
        assert!(run.out.contains("agree in every decision and every output"), "{run:?}");
    }
}

#[test]
fn the_decisions_say_who_flew_and_why_in_the_step_of_the_stick() {
    let desk = Desk::new();
    desk.put("trace.csv", short_lesson());
    desk.run_well(&["replay", "trace.csv", "--decisions", "decisions.csv"]);
    let decisions = desk.read("decisions.csv");
    let row = |step: usize| decisions.lines().nth(step + 1).unwrap();
    assert_eq!(row(0), "0,instructor,,1,,switch,82,-16384");
    // -20.25 points are 3317.76 units, rounded; -50 are 8192.
    assert_eq!(row(179), "3580000,student,0+1,,,,-3318,-8192");
    assert_eq!(
        row(180).split(',').take(6).collect::<Vec<_>>(),
        ["3600000", "instructor", "", "0", "stick:0", "held:0"]
    );
    // The 3 points of the stick at once (T2); the throttle is picked up (T6).
    assert!(row(180).ends_with(",492,-8192"), "{}", row(180));
}

/// Given a trace with other line ends, a byte order mark, spaces or another order of columns, when it is replayed,
/// then the decisions are the same.
#[test]
fn line_ends_marks_spaces_and_column_order_change_nothing() {
    let desk = Desk::new();
    let plain = short_lesson();
    let decisions = |trace: &str| {
        desk.put("trace.csv", trace).run_well(&["replay", "trace.csv", "--decisions", "decisions.csv"]);
        desk.read("decisions.csv")
    };
    let expected = decisions(&plain);
    assert_eq!(decisions(&format!("\u{feff}{}", plain.replace('\n', "\r\n"))), expected);
    assert_eq!(decisions(&plain.replace(',', " , ")), expected);
    assert_eq!(decisions(plain.trim_end()), expected);
    let turned = plain.lines().map(|line| line.rsplit(',').collect::<Vec<_>>().join(",") + "\n").collect::<String>();
    // In reverse order, the throttle is the first axis.
    let swapped = decisions(&turned);
    assert!(swapped.starts_with("time_us,flies,student,held,cause,waiting,throttle,roll\n"));
    assert!(swapped.contains("\n3600000,instructor,,1,stick:1,"));
}

#[test]
fn one_axis_and_sixteen_are_replayed_at_any_rate() {
    let desk = Desk::new();
    for axes in [1, 16] {
        let columns = ["i", "s"].map(|side| (0..axes).map(|axis| format!("{side}:axis {axis}")).collect::<Vec<_>>());
        let mut trace = format!("time_us,lesson_switch,instructor_now,{}\n", columns.concat().join(","));
        for step in 0..3000 {
            let student = if step % 7 == 0 { ",".repeat(axes) } else { ",10".repeat(axes) };
            let instructor = ",0".repeat(axes);
            writeln!(trace, "{},{},0{instructor}{student}", step * 1000, u8::from(step > 100)).unwrap();
        }
        desk.put("trace.csv", trace);
        let out = desk.run_well(&["replay", "trace.csv", "--decisions", "decisions.csv"]);
        assert!(out.contains("3,000 steps"), "{out}");
        assert!(desk.read("decisions.csv").contains(",student,0"));
        assert!(is_svg(&desk.path("replay.svg")));
    }
}

#[test]
fn outputs_go_where_they_are_told_and_over_what_was_there() {
    let desk = Desk::new();
    desk.put("trace.csv", short_lesson()).put("p.svg", "old").put("d.csv", "old");
    let out = desk.run_well(&["replay", "trace.csv", "--picture", "p.svg", "--decisions", "d.csv"]);
    assert!(out.contains("Written: p.svg\nWritten: d.csv\n"), "{out}");
    assert_eq!(desk.files(), ["d.csv", "p.svg", "trace.csv"]);
    assert!(is_svg(&desk.path("p.svg")));
    assert!(desk.read("d.csv").starts_with("time_us"));
}

#[cfg(unix)]
#[test]
fn a_device_is_written_to_and_not_replaced() {
    let desk = Desk::new();
    desk.put("trace.csv", short_lesson());
    let out = desk.run_well(&["replay", "trace.csv", "--picture", "/dev/null", "--decisions", "/dev/stdout"]);
    assert!(out.starts_with("time_us,flies"), "{out}");
    assert!(!std::fs::metadata("/dev/null").unwrap().is_file());
    assert_eq!(desk.files(), ["trace.csv"]);
}

#[test]
fn a_reader_who_goes_away_is_no_error_and_the_files_are_there() {
    let desk = Desk::new();
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let done = desk.command(&["fly", "--minutes", "1"]).stdout(writer).output().unwrap();
    assert_eq!((done.status.code(), done.stderr.as_slice()), (Some(0), &b""[..]));
    assert!(is_svg(&desk.path("lesson.svg")));

    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let done = desk.command(&["policy"]).stdout(writer).output().unwrap();
    assert_eq!((done.status.code(), done.stderr.as_slice()), (Some(0), &b""[..]));
}

#[cfg(unix)]
#[test]
fn an_interruption_leaves_nothing_half_written() {
    use std::process::{Command, Stdio};
    use std::thread::sleep;
    use std::time::Duration;

    for signal in ["-INT", "-TERM"] {
        // Given a lesson of 69 days in progress, and a picture of an earlier one
        let desk = Desk::new();
        desk.put("lesson.svg", "before");
        let words = ["fly", "--minutes", "100000", "--record", "t.csv", "--decisions", "d.csv"];
        let flight = desk.command(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        let parts = || desk.files().iter().filter(|name| name.starts_with(".lesson-")).count();
        for _ in 0..1000 {
            if parts() == 3 {
                break;
            }
            sleep(Duration::from_millis(10));
        }
        let begun = parts();
        // When it is interrupted
        assert!(Command::new("kill").args([signal, &flight.id().to_string()]).status().unwrap().success());
        // Then its three parts are gone, and the picture is unchanged.
        let done = flight.wait_with_output().unwrap();
        assert_eq!(begun, 3);
        assert_eq!((done.status.code(), done.stdout.as_slice()), (Some(130), &b""[..]));
        assert_eq!((desk.files(), desk.read("lesson.svg")), (vec!["lesson.svg".to_owned()], "before".to_owned()));
    }
}

/// Given a file behind a stream, or a link that leads nowhere, when an output is to replace it, then it is refused and
/// left as it is.
#[cfg(unix)]
#[test]
fn files_behind_streams_and_broken_links_are_left_alone() {
    let desk = Desk::new();
    desk.run_well(&["fly", "--minutes", "0.2", "--record", "trace.csv"]);
    fs::write(desk.path("log"), "important\n").unwrap();
    let log = fs::File::options().append(true).open(desk.path("log")).unwrap();
    let done = desk.command(&["replay", "trace.csv", "--picture", "/dev/stdout"]).stdout(log).output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert_eq!(fs::read_to_string(desk.path("log")).unwrap(), "important\n");

    std::os::unix::fs::symlink("nowhere", desk.path("link")).unwrap();
    let done = desk.command(&["replay", "trace.csv", "--picture", "link"]).output().unwrap();
    assert_eq!(done.status.code(), Some(2));
    assert!(desk.path("link").is_symlink());
}

#[test]
fn help_names_units_and_defaults() {
    let desk = Desk::new();
    let fly = desk.run_well(&["fly", "--help"]);
    assert!(
        fly.contains("in minutes") && fly.contains("[default: 5]") && fly.contains("[default: lesson.svg]"),
        "{fly}"
    );
    let replay = desk.run_well(&["replay", "--help"]);
    assert!(replay.contains("throttle or collective") && replay.contains("-100 points"), "{replay}");
}

/// Given the page without a lesson, when a trace is replayed with --page, then the page holds trace and policy, and no
/// text of theirs ends its script; a page that was not built is told with its remedy.
#[test]
fn a_lesson_can_be_written_into_the_page() {
    let desk = Desk::new();
    let place = r#"<script type="application/json" id="lesson"></script>"#;
    desk.put("handback.html", format!("<html>{place}</html>")).put_trace(&["0,0,0,1,2,3,4", "20000,0,0,1,2,3,4"]);
    let policy = "# </script> \\ \"x\"\n[[axis]]\nname = \"roll\"\nkind = \"sprung\"\n[[axis]]\nname = \"throttle\"\nkind = \"unsprung\"\nfailsafe_points = -100\n";
    desk.put("p.toml", policy);
    desk.run_well(&["replay", "trace.csv", "--policy", "p.toml", "--page", "debrief.html"]);
    let page = desk.read("debrief.html");
    assert_eq!(page.matches("</script>").count(), 1, "{page}");
    assert!(page.starts_with(
        r#"<html><script type="application/json" id="lesson">{"trace":{"name":"trace.csv","text":"time_us,"#
    ));
    assert!(
        page.contains(r##""policy":{"name":"p.toml","text":"# \u003c/script> \u005c \u0022x\u0022\u000a[[axis]]"##),
        "{page}"
    );
    let run = desk.run(&["replay", "trace.csv", "--page", "x.html", "--page-from", "absent.html"]);
    run.is_refused_with("absent.html: cannot be read");
    assert!(run.err.contains("build it by `bash examples/page/build`"), "{run:?}");
    desk.run(&["replay", "trace.csv", "--page", "x.html", "--page-from", "debrief.html"])
        .is_refused_with("debrief.html: has no place for a lesson, or holds one already");
}
