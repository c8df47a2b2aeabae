//! Bad input: exit code 2, one line that says where it is and what to do, and nothing half written.

use std::fs;
use std::io::ErrorKind;
use std::thread::sleep;
use std::time::Duration;

use crate::desk::{Desk, HEADER, Run};

mod boxes;
mod options;
mod other_files;

/// Replays the trace over files that already exist: if it is refused, they must stay unchanged.
fn replay(desk: &Desk) -> Run {
    desk.put("replay.svg", "before").put("d.csv", "before");
    let before = desk.files();
    let run = desk.run(&["replay", "trace.csv", "--decisions", "d.csv"]);
    if run.code != Some(0) {
        assert_eq!((desk.read("replay.svg").as_str(), desk.read("d.csv").as_str()), ("before", "before"));
        assert_eq!(desk.files(), before);
    }
    run
}

const GOOD: &str = "0,0,0,1,2,3,4";

#[test]
fn a_good_trace_is_not_refused() {
    // Without this the refusals below show nothing.
    let desk = Desk::new();
    desk.put_trace(&[GOOD, "20000,1,1,,,-200,199.99", "20000,0,0,-0.0001,.5,,"]);
    assert_eq!(replay(&desk).code, Some(0));
}

#[test]
fn rows_whose_cells_are_all_empty_are_skipped_and_no_others() {
    let desk = Desk::new();
    desk.put_trace(&[GOOD, ",,,,,,", "20000,0,0,1,2,3,4", " , ,,,, ,", ",,,", " "]);
    let run = replay(&desk);
    assert_eq!(run.code, Some(0), "{run:?}");
    assert_eq!(desk.read("d.csv").lines().count(), 3);
    desk.put("d.csv", "").put_trace(&[GOOD, ",,,0,,,"]);
    replay(&desk).is_refused_with("line 3, column 1 (time_us): \"\" is no time in microseconds");
    desk.put_trace(&[",,,,,,"]);
    replay(&desk).is_refused_with("trace.csv: has a header and no row");
}

#[test]
fn a_cell_that_is_wrong_is_named_by_line_column_and_value() {
    for (row, said) in [
        ("1,0,0,NaN,2,3,4", "trace.csv, line 3, column 4 (i:roll): \"NaN\" is no number of points; write points"),
        ("1,0,0,1,2,abc,4", "line 3, column 6 (s:roll): \"abc\" is no number of points"),
        ("1,0,0,1,2,3,1e2", "line 3, column 7 (s:throttle): \"1e2\" is no number of points; no exponent: write 100"),
        ("1,0,0,1,2,3,+5", "line 3, column 7 (s:throttle): \"+5\" is no number of points; no plus sign: write 5"),
        ("1,0,0,2%,2,3,5", "line 3, column 4 (i:roll): \"2%\" is no number of points; points are meant: write 2"),
        ("+1,0,0,1,2,3,4", "line 3, column 1 (time_us): \"+1\" is no time in microseconds; no plus sign: write 1"),
        ("1e3,0,0,1,2,3,4", "line 3, column 1 (time_us): \"1e3\" is no time in microseconds; no exponent: write 1000"),
        (
            "1,0,0,1,2,3,4\r2,0,0,1,2,3,4",
            "line 3, column 7 (s:throttle): \"4\\r2\" is no number of points; lines end in CR alone: save",
        ),
        ("1,0,0,1,200,3,4", "line 3, column 5 (i:throttle): \"200\" is out of range; keep to -200 to 199.99 points"),
        ("1,0,0,1,2,3,-200.1", "line 3, column 7 (s:throttle): \"-200.1\" is out of range"),
        ("1,0,0,1.00001,2,3,4", "line 3, column 4 (i:roll): \"1.00001\" has more than 4 decimals; round it"),
        (
            "1,0,0,1,,3,4",
            "line 3, column 5 (i:throttle): \"\" is empty, but other cells of this side are not; fill all",
        ),
        ("1,0,0,1,2, ,4", "line 3, column 6 (s:roll): \"\" is empty, but"),
        ("1,2,0,1,2,3,4", "line 3, column 2 (lesson_switch): \"2\" is no position of a switch; write 1 for on or 0"),
        ("1,0,true,1,2,3,4", "line 3, column 3 (instructor_now): \"true\" is no position of a switch"),
        ("1,0,,1,2,3,4", "line 3, column 3 (instructor_now): \"\" is no position of a switch"),
        ("-1,0,0,1,2,3,4", "line 3, column 1 (time_us): \"-1\" is no time in microseconds; write a whole number"),
        ("1.5,0,0,1,2,3,4", "line 3, column 1 (time_us): \"1.5\" is no time in microseconds"),
        (",0,0,1,2,3,4", "line 3, column 1 (time_us): \"\" is no time in microseconds"),
        ("99999999999999999999,0,0,1,2,3,4", "line 3, column 1 (time_us): \"99999999999999999999\" is no time"),
        ("1,0,0,1,2,3", "line 3: the line has 6 cells, the header 7; give every column a cell"),
        ("1,0,0,1,2,3,4,5", "line 3: the line has 8 cells, the header 7"),
        ("1;0;0;1;2;3;4", "line 3, column 1 (time_us): \"1;0;0;1;2;3;4\" is no time in microseconds; separate"),
        ("1,0;0;1;2;3;4", "line 3, column 2 (lesson_switch): \"0;0;1;2;3;4\" is no position of a switch; separate"),
        (
            "1,0,0,1,5,2,3,4",
            "the line has 8 cells, the header 7; give every column a cell, and no more; the decimal sign is",
        ),
        ("1,0,0,\"1.5\",2,3,4", "column 4 (i:roll): \"1.5\" is no number of points; quotes are not understood: write"),
        ("\"1\",0,0,1,2,3,4", "column 1 (time_us): \"1\" is no time in microseconds; quotes are not understood"),
        ("1,0,0,'1',2,3,4", "is no number of points; quotes are not understood: write the bare value"),
        ("1,0,0,1,2,3,4 # good", "\"4 # good\" is no number of points; comments are not understood: remove it"),
        ("1,0,0,\u{2212}1,2,3,4", "column 4 (i:roll): \"\u{2212}1\" is no number of points; write -1"),
        ("some words", "line 3, column 1 (time_us): \"some words\" is no time in microseconds"),
    ] {
        let desk = Desk::new();
        desk.put_trace(&[GOOD, row]);
        replay(&desk).is_refused_with(said);
    }
}

#[test]
fn time_that_runs_backwards_or_leaps_is_refused() {
    let desk = Desk::new();
    desk.put_trace(&["20000,0,0,1,2,3,4", "19999,0,0,1,2,3,4"]);
    replay(&desk)
        .is_refused_with("line 3, column 1 (time_us): \"19999\" is before the row above, 20000; sort the rows");
    // A line that was cut: its number is wrong for that reason.
    desk.put_trace(&["20000,0,0,1,2,3,4", "199"]);
    replay(&desk).is_refused_with("line 3: the line has 1 cell, the header 7; give every column a cell");
    // One microsecond more, and the engine's clock would see a gap of none.
    desk.put_trace(&[GOOD, "4294967295,0,0,1,2,3,4"]);
    assert_eq!(replay(&desk).code, Some(0));
    desk.put_trace(&[GOOD, "4294967296,0,0,1,2,3,4"]);
    replay(&desk).is_refused_with(
        "line 3, column 1 (time_us): \"4294967296\" is more than 71.5 minutes after the row above, 0; split",
    );
}

#[test]
fn a_header_that_is_wrong_is_named() {
    for (header, said) in [
        (HEADER.replace("lesson_switch,", ""), "trace.csv, line 1: the column \"lesson_switch\" is missing; add it"),
        (HEADER.replace(",s:roll", ""), "line 1: the column \"s:roll\" is missing"),
        (HEADER.replace("i:roll,", ""), "column 5 (s:roll): \"s:roll\" has no instructor's column; add i:roll"),
        (
            HEADER.to_owned() + ",speed",
            "line 1, column 8 (speed): \"speed\" is no column of a recording of a lesson; remove it",
        ),
        (HEADER.to_owned() + ",i:roll", "line 1, column 8 (i:roll): \"i:roll\" is there twice; it is column 4 already"),
        (HEADER.replace(',', " "), "line 1: the cells are separated by \" \"; separate them with commas"),
        (HEADER.replace(',', ";"), "line 1: the cells are separated by \";\"; separate them with commas, and write"),
        (HEADER.replace("roll", "waiting"), "column 4 (i:waiting): \"i:waiting\" names an axis that could not be told"),
        (GOOD.to_owned(), "line 1, column 2 (0): \"0\" is there twice"),
    ] {
        let desk = Desk::new();
        desk.put("trace.csv", format!("{header}\n{GOOD}\n"));
        replay(&desk).is_refused_with(said);
    }
    let many = (0..17).map(|axis| format!("i:{axis},s:{axis}")).collect::<Vec<_>>().join(",");
    let desk = Desk::new();
    desk.put("trace.csv", format!("time_us,lesson_switch,instructor_now,{many}\n"));
    replay(&desk).is_refused_with("line 1, column 36 (i:16): \"i:16\" is axis 17; keep to 16 axes or fewer");
}

#[test]
fn a_file_that_is_no_trace_is_refused() {
    let desk = Desk::new();
    replay(&desk).is_refused_with("trace.csv: cannot be read: no such file or directory; check the path\n");
    desk.put("trace.csv", "");
    replay(&desk).is_refused_with("trace.csv: is empty; give a recording of a lesson");
    desk.put("trace.csv", "\r\n\n");
    replay(&desk).is_refused_with("trace.csv: is empty");
    desk.put("trace.csv", HEADER);
    replay(&desk).is_refused_with("trace.csv: has a header and no row; record a lesson");
    desk.put("trace.csv", (0..=255).cycle().take(100_000).collect::<Vec<u8>>());
    replay(&desk).is_refused_with("trace.csv: is no text, so not a recording of a lesson; give a recording");
    desk.put("trace.csv", [HEADER.as_bytes(), b"\n0,0,0,\xff\x00,2,3,4\n"].concat());
    replay(&desk).is_refused_with("line 2, column 4 (i:roll): \"\u{fffd}\\0\" is no number");
    desk.put("trace.csv", format!("{HEADER}\n{GOOD}\n{}", "1".repeat(1_000_000)));
    replay(&desk).is_refused_with("trace.csv, line 3: is longer than 4096 bytes");
    desk.put("trace.csv", "x".repeat(1_000_000));
    replay(&desk).is_refused_with("trace.csv, line 1: is longer than 4096 bytes");
    fs::create_dir(desk.path("folder")).unwrap();
    desk.run(&["replay", "folder"]).is_refused_with("folder: cannot be read: is a directory; name a file in it");
    desk.run(&["policy", "folder"]).is_refused_with("folder: cannot be read: is a directory; name a file in it");
}

#[cfg(unix)]
#[test]
fn a_file_without_the_right_to_read_it_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;

    let desk = Desk::new();
    let rights = |name: &str, mode| fs::set_permissions(desk.path(name), fs::Permissions::from_mode(mode)).unwrap();
    desk.put_trace(&[GOOD]);
    rights("trace.csv", 0o000);
    let mut command = desk.command(&["replay", "trace.csv"]);
    if fs::read(desk.path("trace.csv")).is_ok() {
        // Root may read everything: run as somebody else, with a copy of the tool that anybody may run.
        fs::copy(env!("CARGO_BIN_EXE_lesson"), desk.path("lesson")).unwrap();
        rights("lesson", 0o755);
        rights("", 0o777);
        command = std::process::Command::new(desk.path("lesson"));
        command.args(["replay", "trace.csv"]).current_dir(desk.path("")).uid(65_534);
    }
    // A test in parallel may have forked while the copy was being written, and hold it open for a moment.
    let mut tries = (0..200).map(|_| command.output());
    let run = tries.find(|run| {
        let busy = run.as_ref().is_err_and(|why| why.kind() == ErrorKind::ExecutableFileBusy);
        if busy {
            sleep(Duration::from_millis(50));
        }
        !busy
    });
    let run = Run::of(run.expect("the copy can be run within ten seconds").unwrap());
    run.is_refused_with("trace.csv: cannot be read: permission denied; get permission for it, or choose another place");
}

/// Given a place that cannot be written, when a lesson is to be flown, then it is refused before the lesson is flown.
#[test]
fn a_place_that_cannot_be_written_is_refused_at_once() {
    let desk = Desk::new();
    desk.put_trace(&[GOOD]).put("file", "");
    fs::create_dir(desk.path("folder")).unwrap();
    let before = desk.files();
    // A lesson of 69 days: if it were flown first, this test would not end.
    for words in [
        ["fly", "--minutes", "100000", "--picture", "nowhere/lesson.svg"],
        ["fly", "--minutes", "100000", "--record", "nowhere/trace.csv"],
        ["fly", "--minutes", "100000", "--decisions", "nowhere/d.csv"],
    ] {
        desk.run(&words).is_refused_with(&format!(
            "{}: cannot be written: no such file or directory; make the folder first",
            words[4]
        ));
    }
    desk.run(&["fly", "--picture", "folder"]).is_refused_with("folder: cannot be written: is a directory; name a file");
    desk.run(&["fly", "--picture", "file/x.svg"]).is_refused_with("file/x.svg: cannot be written: not a directory");
    desk.run(&["replay", "trace.csv", "--picture", "trace.csv"])
        .is_refused_with("trace.csv: is read or written by the same command already; name another file");
    desk.run(&["fly", "--record", "x", "--decisions", "./x"]).is_refused_with("./x: is read or written by the same");
    assert_eq!(desk.files(), before);
}

#[cfg(unix)]
#[test]
fn a_file_that_is_kept_from_writing_is_not_replaced() {
    use std::os::unix::fs::PermissionsExt;
    let desk = Desk::new();
    desk.put_trace(&[GOOD]).put("kept.svg", "kept");
    fs::set_permissions(desk.path("kept.svg"), fs::Permissions::from_mode(0o444)).unwrap();
    desk.run(&["replay", "trace.csv", "--picture", "kept.svg"])
        .is_refused_with("kept.svg: cannot be written: permission denied");
    assert_eq!(desk.read("kept.svg"), "kept");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_said_and_leaves_nothing() {
    let desk = Desk::new();
    desk.put_trace(&[GOOD]);
    let run = desk.run(&["replay", "trace.csv", "--decisions", "/dev/full"]);
    run.is_refused_with(
        "/dev/full: cannot be written: no space left on device; free some space, or choose another disk",
    );
    assert_eq!(desk.files(), ["trace.csv"]);
    let full = || fs::File::options().write(true).open("/dev/full").unwrap();
    for words in [&["policy"][..], &["--help"], &["fly", "--help"], &["help", "tune"], &["--version"]] {
        let run = Run::of(desk.command(words).stdout(full()).output().unwrap());
        run.is_refused_with("standard output: cannot be written: no space left on device");
    }
    // Standard error is full too: only the exit code says it.
    for words in [&["flyy"][..], &["replay", "none.csv"]] {
        let run = Run::of(desk.command(words).stderr(full()).output().unwrap());
        assert_eq!((run.code, run.out.as_str()), (Some(2), ""), "{words:?}");
    }
}

#[test]
fn a_policy_that_does_not_fit_the_trace_or_the_rules_is_refused() {
    let desk = Desk::new();
    desk.put_trace(&[GOOD]);
    for (policy, said) in [
        (
            "[[axis]]\nname = \"roll\"\nkind = \"sprung\"\n",
            "p.toml: has no axis \"throttle\", which trace.csv has; add",
        ),
        (
            "[[axis]]\nname = \"pitch\"\nkind = \"sprung\"\n",
            "p.toml, line 2, column 8 (name): the axis \"pitch\" is not in trace.csv",
        ),
        ("dwel_ms = 3\n", "p.toml, line 1, column 1 (dwel_ms): unknown key \"dwel_ms\"; write dwell_ms"),
        ("\u{0}", "p.toml, line 1"),
    ] {
        desk.put("p.toml", policy);
        desk.run(&["replay", "trace.csv", "--policy", "p.toml"]).is_refused_with(said);
    }
    desk.put("p.toml", b"# \xff\n");
    desk.run(&["policy", "p.toml"]).is_refused_with("p.toml, line 1: is no text");
    desk.put("p.toml", "#".repeat(2 << 20));
    desk.run(&["policy", "p.toml"]).is_refused_with("p.toml: is longer than 1048576 bytes");
    desk.run(&["policy", "none.toml"]).is_refused_with("none.toml: cannot be read: no such file or directory");
    assert_eq!(desk.files(), ["p.toml", "trace.csv"]);
}
